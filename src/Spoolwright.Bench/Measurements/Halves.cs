namespace Spoolwright.Bench.Measurements;

/// <summary>Tells the progress of a measurement that goes twice through its sound.</summary>
internal sealed class Halves : IProgress<double>
{
    private readonly IProgress<double> _whole;
    private readonly int _half;

    private Halves(IProgress<double> whole, int half) => (_whole, _half) = (whole, half);

    /// <summary>Progress of the first (0) or second (1) pass; null where nobody listens.</summary>
    public static Halves? Of(IProgress<double>? whole, int half) => whole is null ? null : new Halves(whole, half);

    public void Report(double value) => _whole.Report((_half + value) / 2);
}
