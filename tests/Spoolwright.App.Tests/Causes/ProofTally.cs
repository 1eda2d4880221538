using System.Globalization;
using System.Text;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Direction = Spoolwright.Bench.Direction;

namespace Spoolwright.App.Tests.Causes;

/// <summary>Holds what the program says against what was hidden, deck by deck.</summary>
internal sealed class ProofTally
{
    // What a kind of fault is called among the causes; a kind that is not here no cause models.
    private static readonly Dictionary<string, string> Causes = new(StringComparer.Ordinal)
    {
        ["speed"] = "speed",
        ["capstan"] = "capstan",
        ["pinch-roller"] = "pinch-roller",
        ["reel-drag"] = "reel-drag",
        ["belt"] = "belt",
        ["dry-bearing"] = "dry-bearing",
        ["loose-guide"] = "loose-guide",
        ["dirty-replay-head"] = "dirty-replay-head",
        ["worn-replay-head"] = "worn-replay-head",
        ["replay-azimuth"] = "replay-azimuth",
        ["replay-level"] = "replay-level",
        ["replay-eq"] = "replay-eq",
        ["replay-bass"] = "replay-bass",
        ["head-resonance"] = "head-resonance",
        ["hum"] = "hum",
        ["noisy-amplifier"] = "noisy-amplifier",
        ["crosstalk"] = "crosstalk",
        ["record-azimuth"] = "record-azimuth",
        ["dirty-record-head"] = "dirty-record-head",
        ["bias"] = "bias",
        ["record-level"] = "record-level",
        ["record-eq"] = "record-eq",
        ["weak-oscillator"] = "weak-oscillator",
        ["bias-trap"] = "bias-leak",
        ["erase-head"] = "erase-head",
    };

    /// <summary>The cause of a kind of fault; null: no cause models it.</summary>
    public static Cause? CauseOf(string kind) =>
        Causes.TryGetValue(kind, out var id) ? CauseBook.Default.Causes.Single(c => c.Id == id) : null;

    private readonly List<(double Probability, bool Right)> given = [];
    private readonly Dictionary<(string True, string Said), int> confusion = [];
    private readonly StringBuilder log = new();

    public int Faulty { get; private set; }

    public int FirstRight { get; private set; }

    public int Plain { get; private set; }

    public int PlainInFirstThree { get; private set; }

    public int Healthy { get; private set; }

    public int HealthyNamed { get; private set; }

    public double SlowestSeconds { get; private set; }

    public string Log => log.ToString();

    /// <summary>How often a cause given so was right, and how many were.</summary>
    public (int Cases, double Right) Given(double from, double to)
    {
        var bin = given.Where(g => g.Probability >= from && g.Probability < to).ToArray();
        return (bin.Length, bin.Length == 0 ? 0 : (double)bin.Count(b => b.Right) / bin.Length);
    }

    public static Explanation Explain(IReadOnlyList<ProofReadings.Kept> kept) =>
        Explainer.Explain(
            CauseBook.Default,
            [.. kept.Select(k => new MeasuredUnder(k.Measurement, k.Condition, k.Readings))],
            ProofBench.Profile
        );

    public void Add(ProofDeck deck, IReadOnlyList<ProofReadings.Kept> readings, bool askWhatShows = false)
    {
        var watch = System.Diagnostics.Stopwatch.StartNew();
        var said = Explain(readings);
        SlowestSeconds = Math.Max(SlowestSeconds, watch.Elapsed.TotalSeconds);
        foreach (var finding in said.Findings)
            given.Add((finding.Probability, deck.Faults.Any(f => Is(finding, f))));
        var line = string.Join(
            "; ",
            said.Findings.Take(6)
                .Select(f =>
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{(deck.Faults.Any(x => Is(f, x)) ? "*" : "")}{f.Id} {f.Place.Words} {f.Probability:0.00} ({f.Amount:0.##}±{f.AmountUncertainty:0.##})"
                    )
                )
        );
        var modelled = deck.Faults.Where(f => Causes.ContainsKey(f.Kind.Name)).ToArray();
        log.AppendLine(
            CultureInfo.InvariantCulture,
            $"{deck.Seed}: [{string.Join(" ", deck.Faults.Select(f => $"{f.Name} {f.Severity:0.0}"))}] {said.Word} {watch.ElapsedMilliseconds} ms unexplained {said.Unexplained:0.00} sound {said.Sound:0.00} unnamed {string.Join(",", said.Unnamed.Select(u => $"{u.Place.Words} {u.Probability:0.00}"))}\n    {line}"
        );
        if (deck.Faults.Count == 0)
        {
            Healthy++;
            HealthyNamed += said.Word == ExplanationWord.Named ? 1 : 0;
            Count("(sound)", said.Word == ExplanationWord.Named ? said.Findings[0].Id : "(none)");
            return;
        }

        Faulty++;
        var first = said.Findings.FirstOrDefault();
        FirstRight += first is not null && deck.Faults.Any(f => Is(first, f)) ? 1 : 0;
        foreach (var fault in modelled)
        {
            var rank = said.Findings.ToList().FindIndex(f => Is(f, fault));
            var shows = !askWhatShows || Shows(deck, readings, fault);
            Plain += shows ? 1 : 0;
            PlainInFirstThree += shows && rank is >= 0 and < 3 ? 1 : 0;
            if (rank is < 0 or > 2)
                log.AppendLine(CultureInfo.InvariantCulture, $"    MISSED {fault.Name} {fault.Severity} at rank {rank}");
            var wrong = said.Findings.FirstOrDefault(f => f.Probability >= Explainer.Named && !deck.Faults.Any(x => Is(f, x)));
            Count(
                fault.Kind.Name,
                rank >= 0 && said.Findings[rank].Probability >= Explainer.Named ? Causes[fault.Kind.Name] : wrong?.Id ?? "(none)"
            );
        }
    }

    // Whether mending the fault would move any reading by more than three times its uncertainty, by the practice deck's own laws.
    private static bool Shows(ProofDeck deck, IReadOnlyList<ProofReadings.Kept> readings, HiddenFault fault)
    {
        var mended = new MildReadings(deck.Deck, deck.Without(fault), deck.Seed, noiseFree: true).On(readings);
        foreach (var (now, then) in readings.Zip(mended))
        {
            foreach (var reading in now.Readings.Where(r => r.Uncertainty is not null))
            {
                var twin = then.Readings.FirstOrDefault(r =>
                    r.Quantity == reading.Quantity
                    && r.Channel == reading.Channel
                    && r.FrequencyHz == reading.FrequencyHz
                    && r.Part == reading.Part
                );
                if (Math.Abs((twin?.Value ?? 0) - reading.Value) > 3 * reading.Uncertainty)
                    return true;
            }
        }

        return false;
    }

    private void Count(string truth, string said) => confusion[(truth, said)] = confusion.GetValueOrDefault((truth, said)) + 1;

    public static bool Is(CauseFinding finding, HiddenFault fault) =>
        Causes.TryGetValue(fault.Kind.Name, out var id)
        && finding.Causes.Any(c => c.Id == id)
        && (
            fault.Place.Direction is null
            || finding.Place.Direction == (fault.Place.Direction == TapeDirection.Forward ? Direction.Forward : Direction.Reverse)
        )
        && (fault.Place.Side is null || finding.Place.Channel == (fault.Place.Side == PracticeSide.Left ? Channel.Left : Channel.Right))
        && (fault.Place.Setting is null || finding.Place.Setting == fault.Place.Setting);

    /// <summary>The tables for the page.</summary>
    public string Tables()
    {
        var text = new StringBuilder();
        text.AppendLine(
            CultureInfo.InvariantCulture,
            $"decks with faults {Faulty}: a true one first in {FirstRight} ({100.0 * FirstRight / Math.Max(1, Faulty):0.0} %); faults {Plain}, in the first three {PlainInFirstThree} ({100.0 * PlainInFirstThree / Math.Max(1, Plain):0.0} %)"
        );
        text.AppendLine(
            CultureInfo.InvariantCulture,
            $"sound decks {Healthy}: named {HealthyNamed}; slowest answer {SlowestSeconds:0.00} s"
        );
        text.AppendLine("| given | cases | right |").AppendLine("|---|---|---|");
        double[] edges = [0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 1.0001];
        for (var i = 1; i < edges.Length; i++)
        {
            var bin = given.Where(g => g.Probability >= edges[i - 1] && g.Probability < edges[i]).ToArray();
            text.AppendLine(
                CultureInfo.InvariantCulture,
                $"| {100 * edges[i - 1]:0} to {100 * Math.Min(1, edges[i]):0} % | {bin.Length} | {(bin.Length == 0 ? 0 : 100.0 * bin.Count(b => b.Right) / bin.Length):0.0} % |"
            );
        }

        text.AppendLine("| hidden | named as |").AppendLine("|---|---|");
        foreach (var row in confusion.GroupBy(c => c.Key.True).OrderBy(g => g.Key, StringComparer.Ordinal))
            text.AppendLine(
                $"| {row.Key} | {string.Join(", ", row.OrderByDescending(c => c.Value).Select(c => $"{c.Key.Said} {c.Value}"))} |"
            );
        return text.ToString();
    }
}
