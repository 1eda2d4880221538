using System.CommandLine;
using Spectre.Console;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary>One call on the service book: its arguments, the book, and where to write.</summary>
internal sealed class BookCall(ParseResult call, ServiceBook book, Terminal terminal)
{
    private ShopFacts? facts;

    public ServiceBook Book { get; } = book;

    public TextWriter Out => Terminal.Output;

    public Terminal Terminal { get; } = terminal;

    public ShopFacts Shop => facts ??= new ShopDesk(Book).Facts;

    public TimeZoneInfo Zone => new ShopDesk(Book).Zone;

    public DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(Book.Now, Zone).DateTime);

    /// <summary>The text given, or null.</summary>
    public string? Text(string name) => call.GetResult(name) is null ? null : call.GetValue<string?>(name);

    public string Need(string name) => Text(name) ?? throw new CallException($"{name} is missing");

    public string[] Many(string name) => call.GetResult(name) is null ? [] : call.GetValue<string[]>(name) ?? [];

    public bool Has(string name) => call.GetResult(name) is { } && call.GetValue<bool>(name);

    /// <summary>The job that the argument JOB names.</summary>
    public Bench.Service.Job Job => new JobDesk(Book).Find(Need("job"));

    public T Word<T>(string name, T otherwise)
        where T : struct, Enum => Text(name) is { } text ? KebabWord.Parse<T>(text, name) : otherwise;

    public Money? Money(string name) => Text(name) is { } text ? Bench.Service.Trade.Money.Parse(text, Shop.Currency) : null;

    /// <summary>The day of something that has happened; today where none is said.</summary>
    public DateOnly Day(string name) => PastDay(name) ?? Today;

    public DateOnly? PastDay(string name) => Text(name) is not { } text ? null : TypedDay.Past(text, Today);

    public DateOnly? MaybeDay(string name) => Text(name) is not { } text ? null : TypedDay.Parse(text, Today);

    public decimal? Number(string name) => Text(name) is not { } text ? null
        : decimal.TryParse(text, System.Globalization.NumberStyles.AllowLeadingSign | System.Globalization.NumberStyles.AllowDecimalPoint,
            System.Globalization.CultureInfo.InvariantCulture, out var number) ? number
        : throw new CallException($"{name}: \"{text}\" {TypedComma.Problem(text) ?? "is no number"}");

    public int? Whole(string name) => Number(name) is not { } number ? null
        : number == decimal.Truncate(number) && Math.Abs(number) < 1_000_000 ? (int)number
            : throw new CallException($"{name}: {number} is no whole number");

    /// <summary>A moment in the shop's zone.</summary>
    public string When(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, Zone)
        .ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    public void Say(string line) => TextLayout.WriteParagraph(Out, line, Terminal.Width);

    /// <summary>Writes a table, or "none" where it has no row; figures are columns whose heading begins with a tilde, and what must not be
    /// broken begins with an exclamation mark.</summary>
    public void Table(IReadOnlyList<string> heads, IEnumerable<IReadOnlyList<string?>> rows)
    {
        var table = new Table().Border(TableBorder.Simple);
        foreach (var head in heads)
        {
            var column = new TableColumn(Markup.Escape(head.TrimStart('~', '!')));
            table.AddColumn(head.StartsWith('~') ? column.RightAligned().NoWrap() : head.StartsWith('!') ? column.NoWrap() : column);
        }

        var all = rows.ToList();
        if (all.Count == 0)
        {
            Out.WriteLine("none");
            return;
        }

        foreach (var row in all)
            table.AddRow([.. row.Select(c => Markup.Escape(c ?? ""))]);
        Screen.Of(Terminal).Write(table);
    }
}

/// <summary>Declares commands on the service book: each parses, calls one desk, and shows.</summary>
internal sealed class BookVerbs(Terminal terminal, IDictionary<Command, Lesson> lessons)
{
    /// <summary>A group of commands.</summary>
    public Command Group(string name, string description, string paragraph, params Command[] commands)
    {
        var group = new Command(name, description);
        foreach (var command in commands)
            group.Add(command);
        lessons[group] = new Lesson { Paragraphs = [paragraph] };
        return group;
    }

    /// <summary>A command on a book that is there.</summary>
    public Command Verb(string name, string description, Symbol[] symbols, HelpRow[] examples, Func<BookCall, int> run,
        string? more = null, IReadOnlyList<HelpRow>? names = null, bool makesBook = false)
    {
        var book = BookOption.Build();
        var command = new Command(name, description);
        foreach (var symbol in symbols)
        {
            if (symbol is Argument argument)
                command.Add(argument);
            else
                command.Add((Option)symbol);
        }

        command.Add(book);
        command.SetAction(call => Guard(() =>
        {
            var path = call.GetRequiredValue(book);
            using var open = makesBook ? ServiceBook.Open(path) : ServiceBook.OpenExisting(path);
            return run(new BookCall(call, open, terminal));
        }));
        lessons[command] = new Lesson
        {
            Paragraphs = more is null ? [] : [more],
            Examples = examples,
            Names = names ?? [],
            ExitCodes = Lesson.PlainExitCodes
        };
        return command;
    }

    /// <summary>A command that only says a line.</summary>
    public Command Verb(string name, string description, Symbol[] symbols, HelpRow[] examples, Func<BookCall, string> say,
        string? more = null, IReadOnlyList<HelpRow>? names = null, bool makesBook = false) =>
        Verb(name, description, symbols, examples, call =>
        {
            call.Say(say(call));
            return ExitCode.Done;
        }, more, names, makesBook);

    public static Argument<string> JobName() => new("job")
    {
        HelpName = "JOB",
        Description =
        "The job's number, its first digits, or its deck's serial number."
    };

    public static Argument<string> Word(string name, string description) =>
        new(name) { HelpName = name.ToUpperInvariant(), Description = description };

    public static Argument<string?> MaybeWord(string name, string description) =>
        new(name)
        {
            HelpName = name.ToUpperInvariant(),
            Description = description,
            Arity = ArgumentArity.ZeroOrOne,
            DefaultValueFactory = _ => null
        };

    public static Option<string?> Given(string name, string value, string description, bool required = false) =>
        new(name) { HelpName = value, Description = description, Required = required };

    public static Option<string[]> Several(string name, string value, string description) =>
        new(name) { HelpName = value, Description = description };

    public static Option<bool> Flag(string name, string description) => new(name) { Description = description };

    internal static int Guard(Func<int> work)
    {
        try
        {
            return work();
        }
        catch (Exception e) when (e is ServiceBookException or EntryException or IOException or UnauthorizedAccessException)
        {
            throw new CallException(e.Message);
        }
    }
}
