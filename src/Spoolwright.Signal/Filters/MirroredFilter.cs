namespace Spoolwright.Signal.Filters;

/// <summary>
/// A symmetric filter whose output is as long as its input: at both ends the signal is continued by its mirror image, so that nothing of a
/// short capture is lost. A mirrored signal keeps its level and bends only its slope, which a low-pass hardly shows.
/// </summary>
public sealed class MirroredFilter
{
    private readonly DecimatingFilter _filter;
    private readonly int _half;
    private readonly double[] _head;
    private readonly double[] _tail;
    private readonly double[] _mirror;
    private long _taken;

    /// <param name="taps">Symmetric taps, an odd number of them.</param>
    public MirroredFilter(double[] taps)
    {
        ArgumentNullException.ThrowIfNull(taps);
        if (taps.Length % 2 == 0)
        {
            throw new ArgumentException($"A mirrored filter needs an odd number of taps, not {taps.Length}.", nameof(taps));
        }

        _filter = new DecimatingFilter(taps, 1);
        _half = taps.Length / 2;
        _head = new double[_half + 1];
        _tail = new double[_half + 1];
        _mirror = new double[_half];
    }

    /// <summary>Samples that the output lags behind the input, and that <see cref="End"/> gives at most.</summary>
    public int Lag => _half;

    /// <summary>Takes the next samples; returns how many outputs were written, at most as many. Output n speaks of input n.</summary>
    public int Add(ReadOnlySpan<double> samples, Span<double> output)
    {
        var written = 0;
        if (_taken < _head.Length)
        {
            var take = (int)Math.Min(samples.Length, _head.Length - _taken);
            samples[..take].CopyTo(_head.AsSpan((int)_taken));
            Remember(samples[..take]);
            samples = samples[take..];
            if (_taken < _head.Length)
            {
                return 0;
            }

            for (var i = 0; i < _half; i++)
            {
                _mirror[i] = _head[_half - i];
            }

            written += _filter.Add(_mirror, output);
            written += _filter.Add(_head, output[written..]);
        }

        Remember(samples);
        return written + _filter.Add(samples, output[written..]);
    }

    /// <summary>Ends the signal: writes the outputs still owed (none where the signal was shorter than half the filter) and forgets the
    /// past.</summary>
    public int End(Span<double> output)
    {
        var written = 0;
        if (_taken >= _head.Length)
        {
            for (var i = 0; i < _half; i++)
            {
                _mirror[i] = _tail[(int)((_taken - 2 - i) % _tail.Length)];
            }

            written = _filter.Add(_mirror, output);
        }

        Reset();
        return written;
    }

    /// <summary>Forgets the past.</summary>
    public void Reset()
    {
        _taken = 0;
        _filter.Reset();
    }

    private void Remember(ReadOnlySpan<double> samples)
    {
        var skip = Math.Max(0, samples.Length - _tail.Length);
        for (var i = skip; i < samples.Length; i++)
        {
            _tail[(int)((_taken + i) % _tail.Length)] = samples[i];
        }

        _taken += samples.Length;
    }
}
