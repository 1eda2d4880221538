using System.CommandLine;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary><c>explain</c>: from a deck's readings to what ails it.</summary>
internal static class ExplainCommand
{
    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(3);

    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var words = new Argument<string[]>("readings")
        {
            HelpName = "CONDITION FILE...",
            Description =
                "A condition, such as forward,19.05 or reverse,9.525,normal, and after it the files that measure ... --json printed under it; then the next condition.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        var profile = new Option<string?>("--profile")
        {
            HelpName = "DECK.json",
            Description = "The deck's profile: its tracks, equalizations and turning parts.",
        };
        var job = new Option<string?>("--job")
        {
            HelpName = "JOB",
            Description = "A job of the service book instead of files: its number or first digits, or its deck's serial number.",
        };
        var book = BookOption.Build("The service book of --job");
        var mark = new Option<string>("--mark")
        {
            HelpName = "as-found|first-run|as-left",
            Description = "Which readings of the job; as-found takes the first run after cleaning where nothing was read before.",
            DefaultValueFactory = _ => "as-found",
        };
        mark.CompletionSources.Add("as-found", "first-run", "as-left");
        var prior = new Option<string[]?>("--prior")
        {
            HelpName = "CAUSE=CHANCE",
            Description = "How often a cause is met, per place, such as belt=0.2; several times for several causes.",
            Arity = ArgumentArity.OneOrMore,
        };
        var symptom = new Option<string[]?>("--symptom")
        {
            HelpName = "WORDS",
            Description =
                "Instead of readings: what you see or hear, by words or their beginnings; all of the trade's table without words.",
            Arity = ArgumentArity.ZeroOrMore,
            AllowMultipleArgumentsPerToken = true,
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object and nothing else." };
        var command = new Command("explain", "Reasons from a deck's readings to what ails it, with the evidence and the next check.")
        {
            words,
            profile,
            job,
            book,
            mark,
            prior,
            symptom,
            json,
        };
        command.SetAction(call =>
        {
            if (call.GetResult(symptom) is not null)
            {
                SymptomTable.Write(SymptomBook.Find(string.Join(' ', call.GetValue(symptom) ?? [])), call.GetValue(json), terminal);
                return ExitCode.Done;
            }

            var set = Priors(call.GetResult(prior) is null ? null : call.GetValue(prior));
            _ = Knowledge(null, set);
            var request = ExplainRequest.From(
                call.GetValue(words) ?? [],
                call.GetValue(profile),
                call.GetValue(job),
                call.GetValue(book)!,
                call.GetValue(mark)!
            );
            using var shop = request.Job is null ? null : ServiceBook.OpenExisting(call.GetValue(book)!);
            var desk = shop is null ? null : new CauseDesk(shop);
            Learn(desk);
            var knowledge = Knowledge(desk, set);
            var ailments =
                desk is not null && call.GetValue(mark) == "as-found" && call.GetValue(profile) is null
                    ? Ailing(desk, request.Job!.Value, knowledge)
                    : null;
            var explanation = ailments?.Found ?? Explainer.Explain(knowledge, request.Measured, request.Profile);
            var mended = ailments?.Left is null ? [] : desk!.Mended(request.Job!.Value, ailments);
            if (call.GetValue(json))
                ExplainJson.Write(explanation, mended, desk?.Lessons, terminal.Output);
            else
                ExplainPage.Write(explanation, request, mended, desk, terminal);
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
                "With --job the shop's own finished jobs teach how often each cause is met, and a job that was measured as left as well says after the mend whether each cause was right.",
                "Where no cause is likelier than not it says so. What is marked [memory] is known in the trade and was not found in a document.",
            ],
            Names = [.. CauseBook.Default.Causes.Select(c => new HelpRow(c.Id, c.Name + "."))],
            Examples =
            [
                new(
                    "spoolwright explain forward,19.05 speed.json playback.json azimuth.json --profile deck.json",
                    "Explains what was read in one condition."
                ),
                new(
                    "spoolwright explain forward,19.05 f19.json forward,9.525 f9.json reverse,19.05 r19.json",
                    "Holds speeds and directions against each other."
                ),
                new("spoolwright explain --job 3f2a --book shop.db", "Explains the readings as found of a job in the service book."),
                new("spoolwright explain --job 3f2a --book shop.db --prior belt=0.2 --json", "The same with another prior, as JSON."),
                new("spoolwright explain --symptom dull channel", "Asks the trade's symptom table."),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    // A large book is weighed a little further at each call; what is known so far is said.
    private static void Learn(CauseDesk? desk)
    {
        try
        {
            desk?.Learn(LongestWait);
        }
        catch (ServiceBookException)
        {
            // A book that cannot be written just now keeps nobody from an answer.
        }
    }

    private static IReadOnlyDictionary<string, double> Priors(string[]? texts)
    {
        try
        {
            return CauseDesk.Set(texts ?? []);
        }
        catch (FormatException e)
        {
            throw new CallException("--prior: " + e.Message);
        }
    }

    private static CauseBook Knowledge(CauseDesk? desk, IReadOnlyDictionary<string, double> set)
    {
        try
        {
            return desk?.Knowledge(set) ?? CauseBook.Default.WithPriors(set);
        }
        catch (ArgumentException e)
        {
            throw new CallException("--prior: " + e.Message.Split(" (Parameter")[0]);
        }
    }

    // As it came and as it leaves, so that both are weighed once; null: nothing as found that causes are weighed by.
    private static Ailments? Ailing(CauseDesk desk, Guid job, CauseBook knowledge)
    {
        try
        {
            return desk.Of(job, knowledge).Ailments;
        }
        catch (EntryException)
        {
            return null;
        }
    }
}
