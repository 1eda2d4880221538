using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>Mean of several measurements of one tone, each weighed by its length.</summary>
internal static class ToneMean
{
    public static ToneFigures Of(IReadOnlyList<ToneFigures> figures)
    {
        if (figures.Count == 1)
        {
            return figures[0];
        }

        var seconds = figures.Sum(f => f.Seconds);
        double Mean(Func<ToneFigures, double> of) => figures.Sum(f => f.Seconds * of(f)) / seconds;
        double Noise(Func<ToneFigures, double> of) => Math.Sqrt(figures.Sum(f => Square(f.Seconds * of(f)))) / seconds;
        ChannelFigures Channel(Func<ToneFigures, ChannelFigures> of) =>
            new(Mean(f => of(f).LevelDb), Noise(f => of(f).LevelNoiseDb), Mean(f => of(f).SnrDb), Noise(f => of(f).LevelMethodDb));

        Estimate? phase = null;
        if (figures.All(f => f.Phase is not null))
        {
            double x = 0, y = 0;
            foreach (var f in figures)
            {
                x += f.Seconds * Math.Cos(double.DegreesToRadians(f.Phase!.Value.Value));
                y += f.Seconds * Math.Sin(double.DegreesToRadians(f.Phase!.Value.Value));
            }

            phase = new Estimate(double.RadiansToDegrees(Math.Atan2(y, x)), Noise(f => f.Phase!.Value.Noise));
        }

        return new ToneFigures
        {
            FrequencyHz = Mean(f => f.FrequencyHz),
            Left = Channel(f => f.Left),
            Right = figures.All(f => f.Right is not null) ? Channel(f => f.Right!.Value) : null,
            BalanceMethodDb = Noise(f => f.BalanceMethodDb),
            Phase = phase,
            PhaseMethod = Noise(f => f.PhaseMethod),
            PhaseWander = figures.Select(f => f.PhaseWander).OfType<Estimate>().Cast<Estimate?>().MaxBy(w => w!.Value.Value),
            DroppedShare = Mean(f => f.DroppedShare),
            Seconds = seconds,
        };
    }

    private static double Square(double x) => x * x;
}
