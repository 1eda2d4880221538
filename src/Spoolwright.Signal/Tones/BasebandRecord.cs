namespace Spoolwright.Signal.Tones;

/// <summary>One channel's tone at 0 Hz, output after output; memory grows by doubling.</summary>
internal sealed class BasebandRecord
{
    private double[] _re = new double[256];
    private double[] _im = new double[256];

    /// <summary>Outputs held.</summary>
    public int Count { get; private set; }

    public Span<double> Re => _re.AsSpan(0, Count);

    public Span<double> Im => _im.AsSpan(0, Count);

    public void Add(ReadOnlySpan<double> re, ReadOnlySpan<double> im)
    {
        if (Count + re.Length > _re.Length)
        {
            var size = Math.Max(_re.Length * 2, Count + re.Length);
            Array.Resize(ref _re, size);
            Array.Resize(ref _im, size);
        }

        re.CopyTo(_re.AsSpan(Count));
        im.CopyTo(_im.AsSpan(Count));
        Count += re.Length;
    }

    /// <summary>The first n outputs, by themselves.</summary>
    public BasebandRecord Take(int n)
    {
        var copy = new BasebandRecord();
        copy.Add(Re[..n], Im[..n]);
        return copy;
    }

    /// <summary>The first n outputs turned back by another record's phase: what is coherent with that stands at 0 Hz, whatever its
    /// flutter.</summary>
    public BasebandRecord TurnedBack(BasebandRecord by, int n)
    {
        double[] re = new double[n], im = new double[n];
        for (var i = 0; i < n; i++)
        {
            double a = _re[i], b = _im[i], c = by._re[i], d = by._im[i];
            var magnitude = Math.Max(Math.Sqrt((c * c) + (d * d)), 1e-30);
            re[i] = ((a * c) + (b * d)) / magnitude;
            im[i] = ((b * c) - (a * d)) / magnitude;
        }

        var turned = new BasebandRecord();
        turned.Add(re, im);
        return turned;
    }

    /// <summary>Magnitude of every output: the tone's amplitude.</summary>
    public double[] Magnitudes()
    {
        var magnitudes = new double[Count];
        for (var i = 0; i < Count; i++)
        {
            magnitudes[i] = Math.Sqrt((_re[i] * _re[i]) + (_im[i] * _im[i]));
        }

        return magnitudes;
    }
}
