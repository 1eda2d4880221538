using Spoolwright.Signal.Tones;

namespace Spoolwright.Signal.Distortion;

/// <summary>A tone that stood in a capture for a while, at whatever levels.</summary>
/// <param name="FrequencyHz">Its frequency, Hz, to about half a percent.</param>
/// <param name="FirstFrame">First frame of the windows it was seen in.</param>
/// <param name="LastFrame">Frame after the last of them.</param>
/// <param name="Power">Its highest mean square, both channels added.</param>
/// <param name="Share">Share of all sound that is in its line, at its clearest, 0 to 1.</param>
/// <param name="Seconds">How long it was seen in all.</param>
public sealed record LedgerTone(double FrequencyHz, long FirstFrame, long LastFrame, double Power, double Share, double Seconds);

/// <summary>Looks through a capture for tones whose frequency nobody stated and whose level may move: the loudest line of every
/// window.</summary>
public sealed class ToneLedger
{
    private const double LowestHz = 18;
    private const double Within = 0.05;
    private const double LeastShare = 0.1;
    private const double DownTo = 1e-4; // a tone 40 dB under the loudest is hum or the leak of something
    private readonly ToneFinder _finder;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly double _rate;
    private readonly bool _stereo;
    private readonly List<Seen> _seen = [];
    private int _held;
    private long _frame;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    /// <param name="channels">1 or 2.</param>
    public ToneLedger(double sampleRateHz, int channels)
    {
        (_rate, _stereo) = (sampleRateHz, channels == 2);
        _finder = new ToneFinder(sampleRateHz);
        _left = new float[_finder.WindowFrames];
        _right = new float[_stereo ? _finder.WindowFrames : 0];
    }

    /// <summary>Frames in a window, a quarter to half a second.</summary>
    public int WindowFrames => _finder.WindowFrames;

    /// <summary>The loudest line seen in any window, whether or not it is a tone; null where all is silence.</summary>
    public (double FrequencyHz, double Share)? Loudest { get; private set; }

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
                Look();
                _frame += _held;
                _held = 0;
            }
        }
    }

    /// <summary>The tones that stood for half a second or more, the longest first.</summary>
    public IReadOnlyList<LedgerTone> Tones()
    {
        var groups = new List<List<Seen>>();
        foreach (var seen in _seen.OrderByDescending(s => s.Power))
        {
            // Round its loudest window, where its frequency is best known; a low tone's windows tell it to a part of a bin.
            var group = groups.Find(g =>
                Math.Abs(seen.FrequencyHz - g[0].FrequencyHz) < (Within * g[0].FrequencyHz) + (0.2 * _rate / _left.Length)
            );
            if (group is null)
            {
                groups.Add([seen]);
            }
            else
            {
                group.Add(seen);
            }
        }

        var window = _left.Length / _rate;
        var loudest = groups.Count == 0 ? 0 : groups.Max(g => g[0].Power);
        return [.. groups
            .Where(g => g.Count * window > 0.5 && g[0].Power > DownTo * loudest && Holds(g))
            .Select(g => new LedgerTone(
                Middle(g), g.Min(s => s.Frame), g.Max(s => s.Frame) + _left.Length, g[0].Power, g.Max(s => s.Share), g.Count * window))
            .OrderByDescending(t => t.Seconds)];
    }

    // A tone keeps its frequency from window to window but for the deck's wow; the loudest lines of noise or speech lie about.
    private bool Holds(List<Seen> group)
    {
        var middle = Middle(group);
        var near = group.Count(s => Math.Abs(s.FrequencyHz - middle) < (0.02 * middle) + (0.2 * _rate / _left.Length));
        return near >= 0.6 * group.Count && group.Max(s => s.Share) > 0.3;
    }

    private static double Middle(List<Seen> group)
    {
        var frequencies = group.Select(s => s.FrequencyHz).Order().ToArray();
        return frequencies[frequencies.Length / 2];
    }

    private void Look()
    {
        if (_finder.Find(_left, _right, LowestHz, 0.45 * _rate) is not { } tone)
        {
            return;
        }

        var share = Math.Max(tone.Share, tone.BroadShare);
        if (Loudest is null || share > Loudest.Value.Share)
        {
            Loudest = (tone.FrequencyHz, share);
        }

        if (share >= LeastShare)
        {
            _seen.Add(new Seen(_frame, tone.FrequencyHz, tone.Left + tone.Right, share));
        }
    }

    private readonly record struct Seen(long Frame, double FrequencyHz, double Power, double Share);
}
