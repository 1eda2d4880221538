using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Reports.Plots;

/// <summary>One quantity over every deck of a kind: as found above, as left below, each deck a mark, its limits as rules.</summary>
internal static class FieldPlot
{
    private const double Found = 1, Left = 0;

    /// <summary>The drawing.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="limits">Limits of the profile.</param>
    /// <param name="deckId">The deck that is looked for; null: none.</param>
    public static Drawing Of(FieldQuantity quantity, IReadOnlyList<Limit> limits, Guid? deckId)
    {
        var bounds = Bounds(quantity, limits);
        string name =
            $"{Words.Quantity(quantity.Key.Quantity, quantity.Key.Channel)}, {Words.Of(new Bench.Condition(quantity.Key.Direction, quantity.Key.SpeedCmPerS, quantity.Key.TapeSetting))}"
            + (quantity.Key.FrequencyHz is { } f ? $", {Figures.Frequency(f)}" : string.Empty);
        return new Drawing($"{name}: {Said("as found", quantity.AsFound)}; {Said("as left", quantity.AsLeft)}",
            $"{name}. {Said("As found", quantity.AsFound)}; {Said("as left", quantity.AsLeft)}.",
            (canvas, w, h) => Draw(canvas, w, h, quantity, bounds, deckId));
    }

    private static void Draw(SKCanvas canvas, float width, float height, FieldQuantity quantity, IReadOnlyList<double> bounds, Guid? deckId)
    {
        var figures = quantity.Decks.SelectMany(d => new[] { d.AsFound, d.AsLeft }).OfType<double>().Concat(bounds).ToList();
        double low = figures.Min(), high = figures.Max(), room = high > low ? 0.08 * (high - low) : Math.Max(1e-6, Math.Abs(high) * 0.1);
        (low, high) = (low - room, high + room);
        double[] ticks = Ticks(low, high);
        Plot plot = PlotFrame.Over(ticks, [.. ticks.Select(t => Figures.Plain(Math.Round(t, 9)))]);
        plot.Axes.SetLimits(low, high, -0.7, 1.7);
        PlotFrame.YAxis(plot, [Left, Found], ["left", "found"]);
        foreach (double bound in bounds)
        {
            var rule = plot.Add.Line(bound, -0.6, bound, 1.6);
            rule.LineColor = PlotFrame.Of(Palette.Limit);
            rule.LineWidth = 1;
        }

        foreach (var deck in quantity.Decks)
        {
            bool own = deck.DeckId == deckId;
            if (deck is { AsFound: { } before, AsLeft: { } after })
            {
                var way = plot.Add.Line(before, Found, after, Left);
                way.LineColor = own ? PlotFrame.Of(Palette.Accent) : PlotFrame.Of(Palette.Quiet).WithAlpha(.55);
                way.LineWidth = own ? 1.6f : .7f;
            }
        }

        Marks(plot, quantity.Decks.Where(d => d.DeckId != deckId).Select(d => d.AsFound), Found, Palette.Before, MarkerShape.OpenCircle, 6);
        Marks(plot, quantity.Decks.Where(d => d.DeckId != deckId).Select(d => d.AsLeft), Left, Palette.Quiet, MarkerShape.FilledCircle, 5);
        Marks(plot, quantity.Decks.Where(d => d.DeckId == deckId).Select(d => d.AsFound), Found, Palette.Accent, MarkerShape.OpenDiamond,
            10);
        Marks(plot, quantity.Decks.Where(d => d.DeckId == deckId).Select(d => d.AsLeft), Left, Palette.Accent, MarkerShape.FilledDiamond,
            10);
        PlotFrame.Draw(plot, canvas, width, height, string.Empty, quantity.Key.Unit);
    }

    private static void Marks(Plot plot, IEnumerable<double?> figures, double lane, SKColor color, MarkerShape shape, float size)
    {
        double[] x = [.. figures.OfType<double>()];
        if (x.Length > 0)
            plot.Add.Markers(x, x.Select(_ => lane).ToArray(), shape, size, PlotFrame.Of(color));
    }

    private static double[] Bounds(FieldQuantity quantity, IReadOnlyList<Limit> limits) =>
    [
        .. limits.Where(l => l.Quantity == quantity.Key.Quantity && l.Mask.Count == 0
                && (l.SpeedCmPerS is not { } speed || Bench.Tape.TapeSpeed.Same(speed, quantity.Key.SpeedCmPerS))
                && (l.Direction is not { } way || way == quantity.Key.Direction)
                    && (l.TapeSetting is not { } tape || tape == quantity.Key.TapeSetting))
            .SelectMany(l => new[] { l.Min, l.Max }).OfType<double>().Distinct(),
    ];

    private static double[] Ticks(double low, double high)
    {
        double step = Math.Pow(10, Math.Floor(Math.Log10((high - low) / 2)));
        double chosen = new[] { step, 2 * step, 5 * step, 10 * step }.First(s => (high - low) / s <= 6);
        return PlotFrame.Steps(low, high, chosen);
    }

    /// <summary>A figure to three digits, for people who compare.</summary>
    public static string Figure(double value)
    {
        int decimals = value == 0 ? 0 : Math.Clamp(2 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 6);
        return Figures.Plain(Math.Round(value, decimals));
    }

    private static string Said(string when, Spread? spread) => spread is null ? $"{when}: no deck"
        : $"{when} {Figure(spread.Median)} in the middle, {Figure(spread.Least)} to {Figure(spread.Most)} over {spread.Count}";
}
