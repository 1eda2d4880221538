using System.Globalization;
using Spectre.Console;
using Spoolwright.Bench.Instruments;

namespace Spoolwright.App.Cli;

/// <summary>Prints a gauge's curve: its formula, each weight with residual and uncertainty, and what has to be known before it is
/// used.</summary>
internal static class GaugeTable
{
    // Residuals beyond this share of the weight are worth a word: common practice, no source.
    private const double LargeResidual = 0.03;

    public static void Write(GaugeCurve curve, Terminal terminal)
    {
        var (gauge, to) = (curve.Gauge, terminal.Output);
        var unit = gauge.Unit.Symbol;
        var truth = gauge.Kind == GaugeKind.Torque ? "torque" : "weight";
        to.WriteLine();
        TextLayout.WriteParagraph(to, Formula(curve), terminal.Width);
        var table = new Table().Border(TableBorder.Simple);
        foreach (
            var head in new[]
            {
                $"{char.ToUpperInvariant(truth[0])}{truth[1..]} {unit}",
                "Read",
                "Curve ± U (k = 2)",
                "Residual",
                "Up to down",
                "Of scale",
            }
        )
            table.AddColumn(new TableColumn(head).RightAligned());
        var residuals = curve.Residuals;
        for (var i = 0; i < gauge.Points.Count; i++)
        {
            var point = gauge.Points[i];
            var figure = curve.Read([point.Reading]);
            table.AddRow([
                .. new[]
                {
                    Plain(point.Truth),
                    Plain(point.Reading),
                    UncertainFigure.Format(figure.Value, figure.Uncertainty),
                    Plain(residuals[i]),
                    Plain(2 * curve.HysteresisAt(point.Reading)),
                    string.Create(CultureInfo.InvariantCulture, $"{100 * point.Reading / gauge.ScaleEnd:0} %"),
                }.Select(Markup.Escape),
            ]);
        }

        Screen.Of(terminal).Write(table);
        foreach (var remark in Remarks(curve, truth))
            TextLayout.WriteParagraph(to, remark, terminal.Width);
    }

    private static string Formula(GaugeCurve curve)
    {
        var c = curve.Coefficients;
        string term(double value, string of) =>
            string.Create(CultureInfo.InvariantCulture, $"{(value < 0 ? "−" : "+")} {Math.Abs(value):G5}{of}");
        var bend = curve.IsBent ? $" {term(c[2], "·read²")}" : "";
        var why = curve.BentChiSquare is { } bent
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"chi square {curve.LineChiSquare:0.0} straight, {bent:0.0} bent; a bend is taken where it falls by more than {GaugeCurve.BendAsksFor}"
            )
            : "too few weights to ask for a bend";
        return string.Create(CultureInfo.InvariantCulture, $"{curve.Gauge.Unit.Symbol} = {c[0]:G5} {term(c[1], "·read")}{bend} ({why}).");
    }

    private static IEnumerable<string> Remarks(GaugeCurve curve, string truth)
    {
        var gauge = curve.Gauge;
        var unit = gauge.Unit.Symbol;
        if (gauge.Tape is { } tape)
            yield return $"Holds for {tape} alone.";
        yield return $"Refused outside of {Plain(curve.LowReading)} to {Plain(curve.HighReading)} {unit} on the scale; warned of under {Plain(GaugeCurve.LowOnScale * gauge.ScaleEnd)} {unit}, a quarter of it.";
        yield return $"One reading repeats within {Plain(curve.Repeatability)} {unit} (one standard deviation).";
        if (curve.Unexplained > 1)
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"The residuals are {curve.Unexplained:0.0} times what {truth}s and repeats explain; the uncertainty holds for that. Look for a sticking spring or a {truth} written wrongly."
            );
        var residuals = curve.Residuals;
        for (var i = 0; i < residuals.Count; i++)
        {
            if (Math.Abs(residuals[i]) > LargeResidual * gauge.Points[i].Truth)
                yield return $"At {Plain(gauge.Points[i].Truth)} {unit} the residual is more than 3 % of the {truth}; read that {truth} again.";
        }
    }

    private static string Plain(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
