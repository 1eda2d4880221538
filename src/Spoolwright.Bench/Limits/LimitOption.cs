using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Limits;

/// <summary>
/// Reads a limit as it is given with a call: <c>quantity=figure</c>, where the figure is <c>0.1</c> (plus or minus, or the most or least
/// allowed, as the quantity has it), <c>±3</c> or <c>+-3</c>, an interval <c>-3..3</c>, or one side of it, <c>..3</c>, <c>-3..</c>.
/// <c>quantity@10000=…</c> holds for the tone of 10 kHz alone. A unit other than the quantity's own may follow:
/// <c>supply-tension=0.5..0.8N</c>.
/// </summary>
public static partial class LimitOption
{
    /// <summary>The source that a limit from the call carries.</summary>
    public const string Source = "given with the call";

    /// <summary>Reads the limit.</summary>
    /// <exception cref="FormatException">The text is no limit; the message says what is wrong and what was expected.</exception>
    public static Limit Parse(string text) => TryParse(text, out var limit, out var problem) ? limit : throw new FormatException(problem);

    /// <summary>Reads the limit, or says why not.</summary>
    public static bool TryParse(string text, [NotNullWhen(true)] out Limit? limit, [NotNullWhen(false)] out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        limit = null;
        var equals = text.IndexOf('=');
        if (equals < 0)
        {
            problem =
                $"the limit {Quoted.Text(text)} has no \"=\"; expected quantity=figure, such as wow-flutter-quasi-peak=0.1 or response=-3..3";
            return false;
        }

        var (quantity, tone) = (text[..equals].Trim(), (double?)null);
        if (quantity.IndexOf('@') is >= 0 and var at)
        {
            tone = Number(quantity[(at + 1)..]);
            if (tone is not > 0)
            {
                problem =
                    $"the limit {Quoted.Text(text)} has no frequency after \"@\"; expected a number of Hz, such as response@10000=-3..3";
                return false;
            }

            quantity = quantity[..at].Trim();
        }

        problem = LimitSenses.Refusal(quantity);
        if (problem is null && tone is not null && !LimitSenses.PerTone(quantity))
            problem = $"{quantity} is not read tone by tone; leave the frequency out";
        if (problem is not null)
            return false;
        // A unit may follow the last digit.
        var figure = text[(equals + 1)..].Trim();
        var last = figure.LastIndexOfAny(['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', '.']);
        var unit = last < 0 ? "" : figure[(last + 1)..].Trim();
        var factor = 1.0;
        if (unit.Length > 0)
        {
            if (LimitUnits.Factor(quantity, unit, out problem) is not { } known)
            {
                problem ??= "";
                return false;
            }

            factor = known;
            figure = figure[..(last + 1)];
        }

        if (DecimalComma().IsMatch(figure))
        {
            problem = $"the limit {Quoted.Text(text)} has a comma, which stands between numbers here: write {quantity}={TypedComma.Right(figure)}{unit}";
            return false;
        }

        if (Interval(quantity, figure, out problem) is not { } interval)
        {
            problem ??= $"the limit {Quoted.Text(text)} has no figure; expected a number such as 0.1, ±3, or an interval such as -3..3";
            return false;
        }

        limit = new Limit
        {
            Quantity = quantity,
            Min = interval.Min * factor,
            Max = interval.Max * factor,
            FrequencyHz = tone,
            Source = Source,
        };
        return true;
    }

    private static (double? Min, double? Max)? Interval(string quantity, string figure, out string? problem)
    {
        problem = null;
        var dots = figure.IndexOf("..", StringComparison.Ordinal);
        if (dots >= 0)
            return TwoSided(quantity, figure, figure[..dots].Trim(), figure[(dots + 2)..].Trim(), out problem);
        var signs = figure.StartsWith('±') ? 1
            : figure.StartsWith("+-", StringComparison.Ordinal) ? 2
            : figure.StartsWith("+/-", StringComparison.Ordinal) ? 3
            : 0;
        if (Number(figure[signs..]) is not { } number)
            return null;
        if (signs > 0)
        {
            if (number <= 0)
                problem = $"plus or minus {Quoted.Number(number)} allows nothing for {quantity}; expected a figure above 0";
            return number <= 0 ? null : LimitSenses.Of(quantity) == LimitSense.Magnitude ? (null, number) : (-number, number);
        }

        var interval = LimitSenses.FromFigure(quantity, number);
        if (interval is null)
        {
            problem = LimitSenses.Of(quantity) == LimitSense.Interval
                ? $"one figure says nothing for {quantity}; expected an interval such as {quantity}=-12..-8"
                : $"the limit {Quoted.Number(number)} allows nothing for {quantity}; expected a figure above 0";
        }

        return interval;
    }

    private static (double? Min, double? Max)? TwoSided(string quantity, string figure, string low, string high, out string? problem)
    {
        var (min, max) = (Number(low), Number(high));
        problem = (low.Length > 0 && min is null) || (high.Length > 0 && max is null) || (min is null && max is null)
            ? $"{Quoted.Text(figure)} is no interval; expected two numbers with \"..\" between, such as {quantity}=-3..3"
            : min > max ? $"the interval {Quoted.Text(figure)} runs from {Quoted.Number(min.Value)} down to {Quoted.Number(max.Value)}; "
                + "expected the lower end first"
            : null;
        return problem is null ? (min, max) : null;
    }

    [GeneratedRegex(@"^[-+/±]*\d*,\d+(?:\.\.|$)|\.\.[-+]?\d*,\d+$", RegexOptions.CultureInvariant)]
    private static partial Regex DecimalComma();

    private static double? Number(string text)
    {
        var plain = text.Trim().Replace('\u2212', '-');
        var read = double.TryParse(plain, NumberStyles.Float, CultureInfo.InvariantCulture, out var number);
        return read && Math.Abs(number) <= 1e6 ? number : null;
    }
}
