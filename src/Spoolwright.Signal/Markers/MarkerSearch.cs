namespace Spoolwright.Signal.Markers;

/// <summary>A sweep seen in one channel.</summary>
/// <param name="Seconds">Time at which it begins, s (at the speed it was recorded with).</param>
/// <param name="IsUpward">Its direction.</param>
/// <param name="Correlation">How much of the sound in its band it is, 0 to 1.</param>
/// <param name="Amplitude">Peak amplitude, full scale 1.</param>
internal readonly record struct SweepSighting(double Seconds, bool IsUpward, double Correlation, double Amplitude);

/// <summary>
/// Looks through a capture for markers: fed blocks of any size, asked at the end. Matched filters by transform; memory grows only with
/// what looks like a sweep.
/// </summary>
public sealed class MarkerSearch
{
    // White noise of the band passes this once in some days (its square falls off as exp(−137·ρ²)); a marker needs eighteen in an even row.
    private const double Threshold = 0.3;
    private const double ApartSeconds = 0.0015;
    private readonly SweepFilter _filter;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly bool _stereo;
    private readonly double _rate;
    private readonly List<SweepSighting>[] _sightings;
    private int _held;
    private long _frame;

    /// <param name="sampleRateHz">Rate of the sound, 32,000 Hz or more.</param>
    /// <param name="channels">1 or 2.</param>
    public MarkerSearch(double sampleRateHz, int channels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 16_000);
        ArgumentOutOfRangeException.ThrowIfLessThan(channels, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(channels, 2);
        _rate = sampleRateHz;
        _stereo = channels == 2;
        _filter = new SweepFilter(sampleRateHz);
        _left = new float[_filter.BlockFrames];
        _right = new float[_filter.BlockFrames];
        _sightings = [.. Enumerable.Range(0, channels).Select(_ => new List<SweepSighting>())];
    }

    /// <summary>Takes the next frames.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, _left.Length - _held);
            left[..take].CopyTo(_left.AsSpan(_held));
            left = left[take..];
            if (_stereo)
            {
                right[..take].CopyTo(_right.AsSpan(_held));
                right = right[take..];
            }

            _held += take;
            if (_held == _left.Length)
            {
                // Sweeps that begin in the last stretch stand whole in the next block, which repeats it.
                var hop = (_left.Length - (2 * _filter.Reach)) / _filter.Decimation * _filter.Decimation;
                Look(hop);
                _left.AsSpan(hop).CopyTo(_left);
                _right.AsSpan(hop).CopyTo(_right);
                _held -= hop;
                _frame += hop;
            }
        }
    }

    /// <summary>
    /// Whether both sides of a marker stand in one channel so equally strong that it cannot be read: the channels were summed. Known once
    /// <see cref="Finish"/> has found no marker.
    /// </summary>
    public bool SumsSides { get; private set; }

    /// <summary>The markers heard up to now, by time. Called once, at the end.</summary>
    public IReadOnlyList<FoundMarker> Finish()
    {
        _left.AsSpan(_held).Clear();
        _right.AsSpan(_held).Clear();
        Look(_held);
        _held = 0;
        FoundMarker[] found = [.. _sightings.SelectMany((s, channel) => MarkerAssembly.Find(s, channel)).OrderBy(m => m.StartSeconds)];
        SumsSides = found.Length == 0 && Array.Exists(_sightings, MarkerAssembly.SumsSides);
        return found;
    }

    private void Look(int frames)
    {
        _filter.Load(_left, _stereo ? _right : default);
        var margin = _frame == 0 ? 0 : _filter.Reach / 2 / _filter.Decimation;
        var end =
            frames == _held
                ? (_left.Length / _filter.Decimation) - 1
                : (frames / _filter.Decimation) + (_filter.Reach / 2 / _filter.Decimation);
        for (var channel = 0; channel < _sightings.Length; channel++)
        {
            _filter.Look(channel);
            for (var up = 0; up < 2; up++)
            {
                Peaks(_sightings[channel], up, margin, end);
            }
        }
    }

    private void Peaks(List<SweepSighting> sightings, int up, int from, int to)
    {
        double[] rho = _filter.Correlation[up], amplitude = _filter.Amplitude[up];
        var apart = (int)(ApartSeconds * _rate / _filter.Decimation);
        for (var i = Math.Max(from, 1); i < Math.Min(to, rho.Length - 1); i++)
        {
            if (
                amplitude[i] < amplitude[i - 1]
                || amplitude[i] <= amplitude[i + 1]
                || rho[i] < Threshold
                || !IsHighest(amplitude, i, apart)
            )
            {
                continue;
            }

            // A parabola through the logarithm: the peak of a compressed sweep is near a bell.
            double a = Math.Log(amplitude[i - 1]), b = Math.Log(amplitude[i]), c = Math.Log(amplitude[i + 1]);
            var bend = a - (2 * b) + c;
            var offset = bend < 0 ? 0.5 * (a - c) / bend : 0;
            sightings.Add(
                new SweepSighting((_frame + ((i + offset) * _filter.Decimation)) / _rate, up == 1, Math.Min(1, rho[i]), amplitude[i])
            );
        }
    }

    private static bool IsHighest(double[] values, int at, int apart)
    {
        for (var i = Math.Max(0, at - apart); i <= Math.Min(values.Length - 1, at + apart); i++)
        {
            if (values[i] > values[at])
            {
                return false;
            }
        }

        return true;
    }
}
