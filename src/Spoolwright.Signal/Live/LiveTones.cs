namespace Spoolwright.Signal.Live;

/// <summary>
/// Level and phase of every steady tone while it plays: tones come and go by themselves, and each is followed from when it was first seen.
/// Allocates only when a tone begins.
/// </summary>
public sealed class LiveTones
{
    private readonly LiveToneFinder _finder;
    private readonly LiveTone?[] _tones = new LiveTone?[LiveToneFinder.MostTones];
    private readonly int[] _missed = new int[LiveToneFinder.MostTones];
    private readonly double _rate;
    private int _jumpsOfTonesGone;
    private long _looks;
    private long _taken;

    /// <param name="sampleRateHz">Rate of the sound, Hz.</param>
    public LiveTones(double sampleRateHz)
    {
        _rate = sampleRateHz;
        _finder = new LiveToneFinder(sampleRateHz);
    }

    /// <summary>Places found where samples were lost, by a tone's phase; of tones that stand at once the one that saw most
    /// counts.</summary>
    public int Jumps
    {
        get
        {
            var most = 0;
            foreach (var tone in _tones)
            {
                most = Math.Max(most, tone?.Jumps ?? 0);
            }

            return _jumpsOfTonesGone + most;
        }
    }

    /// <summary>Takes the next frames of both channels.</summary>
    public void Add(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        // In steps of a quarter of a look, so that tones begin at the same sample whatever the size of the blocks.
        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, 256 - (int)(_taken & 255));
            _finder.Add(left[..take], right[..take]);
            foreach (var tone in _tones)
            {
                tone?.Add(left[..take], right[..take]);
            }

            _taken += take;
            left = left[take..];
            right = right[take..];
            if (_finder.Looks != _looks)
            {
                _looks = _finder.Looks;
                Match();
            }
        }
    }

    /// <summary>Reads every tone that stands, lowest first; returns how many.</summary>
    /// <param name="readings">Takes them; <see cref="LiveToneFinder.MostTones"/> long at least.</param>
    /// <param name="seconds">How far to look back.</param>
    public int Read(Span<LiveToneReading> readings, double seconds)
    {
        var n = 0;
        foreach (var tone in _tones)
        {
            if (tone?.Read(seconds) is { } reading)
            {
                var at = n++;
                for (; at > 0 && readings[at - 1].FrequencyHz > reading.FrequencyHz; at--)
                {
                    readings[at] = readings[at - 1];
                }

                readings[at] = reading;
            }
        }

        return n;
    }

    private void Match()
    {
        var seen = _finder.Tones;
        for (var i = 0; i < _tones.Length; i++)
        {
            // One look may be spoilt by a dropout; two are the tone's end.
            _missed[i] = _tones[i] is { } tone && !Near(tone, seen) ? _missed[i] + 1 : 0;
            if (_missed[i] >= 2)
            {
                _jumpsOfTonesGone += _tones[i]!.Jumps;
                _tones[i] = null;
            }
        }

        foreach (var hz in seen)
        {
            var free = -1;
            var known = false;
            for (var i = 0; i < _tones.Length; i++)
            {
                if (_tones[i] is not { } tone)
                {
                    free = i;
                }
                else if (Math.Abs(hz - tone.NominalSeenHz) < Reach(tone))
                {
                    known = true;
                }
            }

            if (!known && free >= 0)
            {
                _tones[free] = new LiveTone(hz, _rate, Neighbour(hz, seen));
            }
        }
    }

    private static bool Near(LiveTone tone, ReadOnlySpan<double> seen)
    {
        foreach (var hz in seen)
        {
            if (Math.Abs(hz - tone.NominalSeenHz) < Reach(tone))
            {
                return true;
            }
        }

        return false;
    }

    // A tone that has moved further than its band allows is followed anew.
    private static double Reach(LiveTone tone) => Math.Max(0.8 * tone.PassHz, 4);

    private static double? Neighbour(double hz, ReadOnlySpan<double> seen)
    {
        double? nearest = null;
        foreach (var other in seen)
        {
            var distance = Math.Abs(other - hz);
            if (distance > 1e-9 && !(distance >= nearest))
            {
                nearest = distance;
            }
        }

        return nearest;
    }
}
