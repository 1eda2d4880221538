using System.Numerics;
using System.Runtime.Intrinsics;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// Reads noise by two weightings, the quasi-peak detector and a spectrum, both channels in one go. Fed blocks of any size, it works in
/// steps of 50 ms, so its figures do not hang on the blocks; beside the spectrum it keeps 16 bytes for each step and channel.
/// </summary>
public sealed class NoiseMeter
{
    /// <summary>Length of one step, s.</summary>
    public const double StepSeconds = 0.05;

    /// <summary>What the weightings need to settle, s.</summary>
    public const double FilterSeconds = 0.1;

    /// <summary>What the quasi-peak detector needs to settle, s.</summary>
    public const double DetectorSeconds = 1.5;

    private const double SegmentSeconds = 1.3;
    private readonly NoiseSettings _settings;
    private readonly double _rate;
    private readonly int _channels;
    private readonly IReadOnlyList<bool>? _keep;
    private readonly int _step;
    private readonly CorrectedFilter _firstFilter;
    private readonly CorrectedFilter _secondFilter;
    private readonly FourLaneFilter _filter;
    private readonly PeakHoldMeter _detector;
    private readonly WelchSpectrum[] _spectra;
    private readonly float[][] _input;
    private readonly double[][] _wide;
    private readonly Vector256<double>[] _weighted;
    private readonly List<float>[] _first = [[], []];
    private readonly Vector128<double>[] _sums = new Vector128<double>[4]; // first power, second indication, second highest, squares of second's steps
    private int _filled;
    private int _steps;
    private int _firstSteps;
    private int _secondSteps;
    private int _kept;

    /// <param name="settings">What to weigh by.</param>
    /// <param name="sampleRateHz">Rate of the sound, Hz, at least 32000.</param>
    /// <param name="channels">1 or 2.</param>
    /// <param name="seconds">Length of the sound where known: a short one makes do with a coarser spectrum.</param>
    /// <param name="keep">Which steps count; null: all. Steps beyond the list count.</param>
    public NoiseMeter(NoiseSettings settings, double sampleRateHz, int channels, double? seconds, IReadOnlyList<bool>? keep = null)
    {
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentOutOfRangeException.ThrowIfLessThan(channels, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(channels, 2);
        _settings = settings;
        _rate = sampleRateHz;
        _channels = channels;
        _keep = keep;
        _step = (int)Math.Round(sampleRateHz * StepSeconds);
        _firstFilter = CorrectedFilter.Design(settings.First, sampleRateHz, settings.ReferenceHz, NoiseSettings.HalfTaps);
        _secondFilter = CorrectedFilter.Design(settings.Second, sampleRateHz, settings.ReferenceHz, NoiseSettings.HalfTaps);
        _filter = new FourLaneFilter(_firstFilter, _secondFilter);
        _detector = new PeakHoldMeter(settings.Detector, sampleRateHz);
        var wanted = Math.Min(SegmentSeconds, (seconds ?? 60) / 5);
        var segment = 1 << Math.Max(12, (int)Math.Ceiling(Math.Log2(wanted * sampleRateHz)));
        _spectra = [.. Enumerable.Range(0, channels).Select(_ => new WelchSpectrum(segment, sampleRateHz))];
        _input = [new float[_step], channels == 2 ? new float[_step] : []];
        _wide = [new double[_step], new double[channels == 2 ? _step : 0]];
        _weighted = new Vector256<double>[_step];
    }

    /// <summary>Power of the first weighting (mean square) for every step so far, by which steadiness is judged.</summary>
    public IReadOnlyList<float> Steps(int channel) => _first[channel];

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, _step - _filled);
            left[..take].CopyTo(_input[0].AsSpan(_filled));
            left = left[take..];
            if (_channels == 2)
            {
                right[..take].CopyTo(_input[1].AsSpan(_filled));
                right = right[take..];
            }

            _filled += take;
            if (_filled == _step)
            {
                Step();
                _filled = 0;
            }
        }
    }

    /// <summary>What was found; null where nothing counted.</summary>
    public NoiseResult? Finish()
    {
        if (_firstSteps < 1)
        {
            return null;
        }

        var highest = Math.Min(_settings.HighestHz, _rate / 2);
        var seconds = _kept * StepSeconds;

        // What stands after the last whole step belongs to the capture and is never counted.
        var whole = seconds + (_filled / _rate);
        var densities = _spectra.Select(s => s.Density()).ToArray();
        var segments = Math.Max(1, _spectra[0].Segments);
        var bin = _spectra[0].BinHz;
        var counted = Math.Min(seconds, SpectrumPower.CountedSeconds(segments, 1 / bin));
        var hum = new HumSearch(densities, bin, segments, counted);
        var channels = new List<ChannelNoise>();
        for (var c = 0; c < _channels; c++)
        {
            var density = densities[c];
            var lines = hum.Lines(c);
            var bare = hum.WithoutLines(c);
            var power = SpectrumPower.InBand(density, bin, _settings.LowestHz, highest);
            var linesPower = lines.Where(l => l.FrequencyHz >= _settings.LowestHz && l.FrequencyHz <= highest).Sum(l => l.Power.Power);
            var rest = Math.Max(2 * power - linesPower, 1e-3 * 2 * power);
            var flat = SpectrumPower.RelativeSigma(bare, bin, counted, _settings.LowestHz, highest, _ => 1, out var bareHiss);

            // A line does not scatter, but what hiss beside it adds to and takes from it does (2·P·S/T).
            var beside =
                lines.Sum(l => l.Power.Power * SpectrumPower.InBand(bare, bin, l.FrequencyHz - bin, l.FrequencyHz + bin) / (2 * bin))
                / counted;
            var second =
                _secondSteps > 0
                    ? Math.Pow(_sums[1][c] / (_secondSteps * (double)_step), 2) * 2 * Bent(_settings.Second, _secondFilter, density, bin)
                    : 0;
            var firstPower = 2 * _sums[0][c] / (_firstSteps * (double)_step) * Bent(_settings.First, _firstFilter, density, bin);
            channels.Add(
                new ChannelNoise
                {
                    First = new NoisePower(
                        firstPower,
                        Share(_settings.First, firstPower, bare, bin, _firstSteps * StepSeconds, 1),
                        _firstSteps * StepSeconds / whole
                    ),
                    Second =
                        _secondSteps * StepSeconds >= 0.5
                            ? new NoisePower(
                                second,
                                Share(_settings.Second, null, bare, bin, _secondSteps * StepSeconds, SpectrumPower.QuasiPeakLoss)
                            )
                            : null,
                    SecondEndDb = SecondEndDb(c),
                    SecondPhaseDb =
                        2
                        * 10
                        / Math.Log(10)
                        * Share(_settings.Second, null, bare, bin, _secondSteps * StepSeconds, SpectrumPower.QuasiPeakLoss)
                        * Turned(density, bin),
                    SecondHighestDb = _secondSteps > 0 ? 10 * Math.Log10(Math.Max(2 * _sums[2][c] * _sums[2][c], 1e-20)) : null,
                    Unweighted = new NoisePower(
                        2 * power,
                        power > 0 ? Math.Sqrt(Math.Pow(flat * bareHiss, 2) + beside) / power : 0,
                        counted / whole
                    ),
                    WithoutLines = new NoisePower(rest, flat, counted / whole),
                    UnderLinesSigma =
                        rest > 0
                            ? Math.Sqrt(
                                lines
                                    .Where(l => l.FrequencyHz >= _settings.LowestHz && l.FrequencyHz <= highest)
                                    .Sum(l => l.UnderSigma * l.UnderSigma)
                            ) / rest
                            : 0,
                    Lines = lines,
                    Tones = hum.Tones(c, 2 * power),
                    Spectrum = SpectrumPower.ThirdOctaves(density, bin),
                }
            );
        }

        return new NoiseResult(channels, hum.Mains, seconds, _settings.LowestHz, highest, bin);
    }

    // The filters run within some hundredths of a decibel of their models; by how much noise of this very spectrum comes out too low or too
    // high, and is put right by, the spectrum says.
    private double Bent(Filters.AnalogueFilter model, CorrectedFilter run, double[] density, double bin)
    {
        var unity = model.Normalised(_settings.ReferenceHz);
        double wanted = 0, got = 0;
        for (var low = 10.0; low < _rate / 2;)
        {
            var high = Math.Min(_rate / 2, Math.Max(low * 1.02, low + (4 * bin)));
            var (power, middle) = (SpectrumPower.InBand(density, bin, low, high), 0.5 * (low + high));
            wanted += power * Math.Pow(unity.At(middle).Magnitude, 2);
            got += power * Math.Pow(run.At(middle).Magnitude, 2);
            low = high;
        }

        return got > 0 ? wanted / got : 1;
    }

    // The detector's indication moves slowly: what is not counted after the last whole step differs from the mean by as much as steps do
    // among one another.
    private double SecondEndDb(int c)
    {
        if (_secondSteps == 0 || _sums[1][c] <= 0)
        {
            return 0;
        }

        var mean = _sums[1][c] / _secondSteps;
        var apart = Math.Sqrt(Math.Max(0, (_sums[3][c] / _secondSteps) - (mean * mean))) / mean;
        var end = _filled / _rate;
        return 2 * 20 / Math.Log(10) * apart * end / ((_secondSteps * StepSeconds) + end);
    }

    // The filter as it runs turns phases otherwise than its model: the same power, other peaks. With a likeness ρ of the two wave forms (of
    // their envelopes, a delay taken out) the two mean indications differ by √(48(1 − ρ)) of what chance makes of either: peaks hang on
    // phase far more than power does [computed: noise of four colours at 44.1 kHz, the analogue network in the transform against this
    // filter; held at 48 kHz by NoiseCoverageTests].
    private double Turned(double[] density, double bin)
    {
        var unity = _settings.Second.Normalised(_settings.ReferenceHz);
        var bands = new List<(double Hz, Complex Cross)>();
        double wanted = 0, got = 0;
        for (var low = 10.0; low < _rate / 2;)
        {
            var high = Math.Min(_rate / 2, Math.Max(low * 1.02, low + (4 * bin)));
            var (power, middle) = (SpectrumPower.InBand(density, bin, low, high), 0.5 * (low + high));
            Complex model = unity.At(middle), run = _secondFilter.At(middle);
            wanted += power * model.Magnitude * model.Magnitude;
            got += power * run.Magnitude * run.Magnitude;
            bands.Add((middle, power * model * Complex.Conjugate(run)));
            low = high;
        }

        double Likeness(double samples) =>
            bands
                .Aggregate(
                    Complex.Zero,
                    (sum, b) => sum + (b.Cross * Complex.FromPolarCoordinates(1, 2 * Math.PI * b.Hz * samples / _rate))
                )
                .Magnitude;
        var best = Enumerable.Range(-40, 81).Max(i => Likeness(0.1 * i));
        return got > 0 && wanted > 0 ? Math.Sqrt(48 * Math.Max(0, 1 - (best / Math.Sqrt(wanted * got)))) : 0;
    }

    // Lines do not scatter; only the hiss does, and counts by its share of the whole.
    private double Share(Filters.AnalogueFilter weighting, double? power, double[] bare, double bin, double seconds, double loss)
    {
        var unity = weighting.Normalised(_settings.ReferenceHz);
        var sigma = SpectrumPower.RelativeSigma(bare, bin, seconds, 10, _rate / 2, f => Math.Pow(unity.At(f).Magnitude, 2), out var hiss);
        return loss * sigma * (power is { } whole && whole > 0 ? Math.Min(1, 2 * hiss / whole) : 1);
    }

    private void Step()
    {
        _filter.Run(_input[0], _input[1], _weighted);
        Vector256<double> squares = default;
        foreach (var w in _weighted)
        {
            squares += w * w;
        }

        var first = squares.GetLower();
        for (var c = 0; c < _channels; c++)
        {
            _first[c].Add((float)(first[c] / _step));
        }

        var index = _steps++;
        if (_keep is not null && index < _keep.Count && !_keep[index])
        {
            foreach (var spectrum in _spectra)
            {
                spectrum.Break();
            }

            return; // the detector stands still: a click is not held into what follows
        }

        _kept++;
        if (index >= FilterSeconds / StepSeconds)
        {
            _sums[0] += first;
            _firstSteps++;
        }

        var (sum, highest) = _detector.Run(_weighted);
        if (_kept > DetectorSeconds / StepSeconds)
        {
            _sums[1] += sum;
            _sums[2] = Vector128.Max(_sums[2], highest);
            _sums[3] += sum * sum;
            _secondSteps++;
        }

        for (var c = 0; c < _channels; c++)
        {
            for (var i = 0; i < _step; i++)
            {
                _wide[c][i] = _input[c][i];
            }
        }

        if (_channels == 2)
        {
            WelchSpectrum.AddPair(_spectra[0], _wide[0], _spectra[1], _wide[1]);
        }
        else
        {
            _spectra[0].Add(_wide[0]);
        }
    }
}
