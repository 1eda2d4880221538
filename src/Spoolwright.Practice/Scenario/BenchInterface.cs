using Spoolwright.Practice.Waves;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Practice.Scenario;

/// <summary>
/// The invented audio interface of the scenario: its inputs droop a little in the treble, each by its own amount, and the right one comes 3
/// µs late. Its outputs are taken to be without error, so that its loopback holds what its inputs do and nothing more.
/// </summary>
public static class BenchInterface
{
    public const string Name = "Kettlewick two-channel";

    /// <summary>How much later the right input comes, µs.</summary>
    public const double SkewMicroseconds = 3;

    /// <summary>Noise of an input, dBFS in 20 kHz on the scale of sines.</summary>
    public const double NoiseDbfs = -108;

    private const double LeftDroopDb = 0.12;
    private const double RightDroopDb = 0.19;
    private const double DroopAtHz = 20_000;

    /// <summary>Response of an input against low frequencies, dB: 1 − 2a(1 − cos ω), which three taps make.</summary>
    /// <param name="left">The left input, else the right one.</param>
    /// <param name="hertz">Frequency, Hz.</param>
    /// <param name="rateHz">Sample rate, Hz.</param>
    public static double ResponseDb(bool left, double hertz, int rateHz) =>
        20 * Math.Log10(1 - (2 * Share(left, rateHz) * (1 - Math.Cos(2 * Math.PI * hertz / rateHz))));

    /// <summary>The sound as the interface delivers it. What is given is disposed with it.</summary>
    public static SoundSource Hearing(SoundSource sound) =>
        new InterfaceSound(sound, Taps(true, sound.SampleRateHz), Taps(false, sound.SampleRateHz), null);

    /// <summary>The interface wired to itself: what is sent, by its own inputs with their noise.</summary>
    /// <param name="sent">What the outputs give.</param>
    /// <param name="seed">Draws the noise.</param>
    public static SoundSource Loopback(SoundSource sent, long seed) =>
        new InterfaceSound(
            sent,
            Taps(true, sent.SampleRateHz),
            Taps(false, sent.SampleRateHz),
            [new NoiseStream(seed, "left input"), new NoiseStream(seed, "right input")]
        );

    /// <summary>Rms of white noise of that level over half the rate, full scale 1.</summary>
    internal static double NoiseRms(int rateHz) => Math.Sqrt(Math.Pow(10, NoiseDbfs / 10) / 2 * (rateHz / 2.0) / 20_000);

    private static double Share(bool left, int rateHz) =>
        (1 - Math.Pow(10, -(left ? LeftDroopDb : RightDroopDb) / 20)) / (2 * (1 - Math.Cos(2 * Math.PI * DroopAtHz / rateHz)));

    // A windowed sinc for the delay (flat to above 20 kHz at 48 kHz with these taps), and the droop on top of it.
    private static float[] Taps(bool left, int rateHz)
    {
        const int Reach = 16;
        const double Shape = 6;
        var late = left ? 0 : SkewMicroseconds * 1e-6 * rateHz;
        var delay = new double[(2 * Reach) + 1];
        for (var i = 0; i < delay.Length; i++)
        {
            var x = i - Reach - late;
            var at = Math.Clamp(x / (Reach + 1), -1, 1);
            delay[i] =
                (Math.Abs(x) < 1e-12 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x))
                * Bessel(Shape * Math.Sqrt(1 - (at * at)))
                / Bessel(Shape);
        }

        var a = Share(left, rateHz);
        var taps = new float[delay.Length + 2];
        for (var i = 0; i < taps.Length; i++)
        {
            double Delay(int k) => k >= 0 && k < delay.Length ? delay[k] : 0;
            taps[i] = (float)(((1 - (2 * a)) * Delay(i - 1)) + (a * (Delay(i) + Delay(i - 2))));
        }

        return taps;
    }

    // Modified Bessel function of the first kind, order 0, by its series.
    private static double Bessel(double x)
    {
        double sum = 1, term = 1;
        for (var k = 1; k < 40; k++)
        {
            term *= x * x / (4.0 * k * k);
            sum += term;
        }

        return sum;
    }
}
