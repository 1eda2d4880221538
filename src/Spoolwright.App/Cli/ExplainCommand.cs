using System.CommandLine;
using System.Globalization;
using Spoolwright.Bench.Causes;

namespace Spoolwright.App.Cli;

/// <summary><c>explain</c>: from a deck's readings to what ails it.</summary>
internal static class ExplainCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var words = new Argument<string[]>("readings")
        {
            HelpName = "CONDITION FILE...",
            Description = "A condition, such as forward,19.05 or reverse,9.525,normal, and after it the files that measure ... --json printed under it; then the next condition.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        var profile = new Option<string?>("--profile") { HelpName = "DECK.json", Description = "The deck's profile: its tracks, equalizations and turning parts." };
        var job = new Option<string?>("--job") { HelpName = "JOB", Description = "A job of the service book instead of files: its number, or the first digits." };
        var book = BookOption.Build("The service book of --job");
        var mark = new Option<string>("--mark") { HelpName = "as-found|first-run|as-left", Description = "Which readings of the job.", DefaultValueFactory = _ => "as-found" };
        mark.CompletionSources.Add("as-found", "first-run", "as-left");
        var prior = new Option<string[]?>("--prior") { HelpName = "CAUSE=CHANCE", Description = "How often a cause is met, per place, such as belt=0.2; several times for several causes.", Arity = ArgumentArity.OneOrMore };
        var json = new Option<bool>("--json") { Description = "Print one JSON object and nothing else." };
        var command = new Command("explain", "Reasons from a deck's readings to what ails it, with the evidence and the next check.") { words, profile, job, book, mark, prior, json };
        command.SetAction(call =>
        {
            var knowledge = Knowledge(call.GetResult(prior) is null ? null : call.GetValue(prior));
            var request = ExplainRequest.From(call.GetValue(words) ?? [], call.GetValue(profile), call.GetValue(job), call.GetValue(book)!, call.GetValue(mark)!);
            var explanation = Explainer.Explain(knowledge, request.Measured, request.Profile);
            if (call.GetValue(json))
                ExplainJson.Write(explanation, terminal.Output);
            else
                ExplainPage.Write(explanation, request, terminal);
            return ExitCode.Done;
        });
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Give what was measured under as many conditions as there are: both channels and both directions, two speeds, one's own recordings. Each condition adds to what can be told: a loss that keeps "
                + "its wavelength when the speed is switched is head or tape, one that keeps its frequency is electronics; a line seen in one direction alone is that direction's part.",
                "Each cause has a chance beforehand and a law by which it changes figures. What is printed is how likely it is after the readings, its amount with uncertainty, the figures for and against "
                + "it, the check that would tell it apart, and the task that mends it. Two or more causes at once are weighed. Causes that change the same figures in the same way stand together as one.",
                "Where no cause is likelier than not it says so. What is marked [memory] is known in the trade and was not found in a document.",
            ],
            Names = [.. CauseBook.Default.Causes.Select(c => new HelpRow(c.Id, c.Name + "."))],
            Examples =
            [
                new("spoolwright explain forward,19.05 speed.json playback.json azimuth.json --profile deck.json", "Explains what was read in one condition."),
                new("spoolwright explain forward,19.05 f19.json forward,9.525 f9.json reverse,19.05 r19.json", "Holds speeds and directions against each other."),
                new("spoolwright explain --job 3f2a --book shop.db", "Explains the readings as found of a job in the service book."),
                new("spoolwright explain --job 3f2a --book shop.db --prior belt=0.2 --json", "The same with another prior, as JSON."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static CauseBook Knowledge(string[]? priors)
    {
        var chances = new Dictionary<string, double>(StringComparer.Ordinal);
        foreach (var text in priors ?? [])
        {
            if (text.Split('=') is not [var id, var number] || !double.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out var chance))
                throw new CallException($"--prior: \"{text}\" is not a cause and its chance such as belt=0.2");
            chances[id] = chance;
        }

        try
        {
            return CauseBook.Default.WithPriors(chances);
        }
        catch (ArgumentException e)
        {
            throw new CallException("--prior: " + e.Message.Split(" (Parameter")[0]);
        }
    }
}
