using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Cli;

/// <summary><c>deck</c>: kinds of deck and single decks.</summary>
internal static class DeckCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("deck", "Decks by serial number, and their profiles.",
            "A profile is one readable file: directions, speeds, tracks, limits with their sources, and, if you like, the plan and the function checks of its kind. A deck keeps the profile as it was when it was taken in.",
            v.Verb("add", "Takes a deck in.",
                [BookVerbs.Word("serial", "Its serial number, as stamped on it."),
                    BookVerbs.Given("--profile", "PROFILE", "A profile of the book's by name, or its file.", required: true),
                    BookVerbs.Given("--description", "TEXT", "What it is, in a line."), BookVerbs.Given("--owner", "NAME", "Whose it is."),
                        BookVerbs.Given("--since", "DAY", "Since when.")],
                [new("spoolwright deck add \"740 1183\" --profile deck-profile.json --owner \"E. Marsh\"",
                    "Makes the book where there is none yet.")], Add, makesBook: true),
            v.Verb("list", "Lists the decks in the book.", [], [new("spoolwright deck list", "With profile, owner and jobs.")], List),
            v.Verb("show", "Shows a deck: owners over time, and its jobs.", [BookVerbs.Word("serial", "Its serial number.")],
                [new("spoolwright deck show \"740 1183\"", "The latest owner stands last.")], Show),
            v.Verb("owner", "Writes down whose a deck is from a day on.",
                [BookVerbs.Word("serial", "Its serial number."), BookVerbs.Word("name", "The owner."),
                    BookVerbs.Given("--since", "DAY", "Since when."), BookVerbs.Given("--contact", "TEXT", "How to reach them.")],
                [new("spoolwright deck owner \"740 1183\" \"J. Tolland\" --since 2026-03-14", "Earlier owners stay.")],
                c =>
                    $"{new JobDesk(c.Book).NewOwner(new JobDesk(c.Book).FindDeck(c.Need("serial")).Id, c.Need("name"), c.PastDay("--since"), c.Text("--contact")).Name} is the owner"
            ),
            v.Verb("profiles", "Lists the profiles in the book.", [], [new("spoolwright deck profiles", "By name.")], Profiles),
            v.Verb("import", "Keeps a profile's file in the book.", [BookVerbs.Word("file", "The file.")],
                [new("spoolwright deck import deck-profile.json", "A profile of that name is superseded; decks keep theirs.")],
                c => $"the profile \"{new ProfileDesk(c.Book).Keep(ProfileText(c.Need("file"))).Name}\" is in the book", makesBook: true),
            v.Verb("export", "Writes a profile as a file.",
                [BookVerbs.Word("profile", "Its name."), BookVerbs.Given("--to", "FILE", "A new file; the screen where none is given.")],
                [new("spoolwright deck export \"Marrowby 74 R\" --to deck-profile.json", "The file that import reads.")], Export),
            v.Verb("copy", "Copies a profile for the next kind of deck.",
                [BookVerbs.Word("profile", "Its name."), BookVerbs.Word("new", "The copy's name.")],
                [new("spoolwright deck copy \"Marrowby 74 R\" \"Marrowby 72\"", "Export it, change it, import it.")],
                c => $"the profile \"{new ProfileDesk(c.Book).Copy(c.Need("profile"), c.Need("new")).Name}\" is in the book"));
    }

    private static string ProfileText(string path)
    {
        InputFiles.Parsed(path, DeckProfileFile.Parse, "check-profile");
        return InputFiles.Text(path);
    }

    private static string Add(BookCall c)
    {
        var named = c.Need("--profile");
        var text = File.Exists(named) ? ProfileText(named) : new ProfileDesk(c.Book).Text(named);
        var deck = new JobDesk(c.Book).TakeIn(text, c.Need("serial"), c.Text("--description") ?? "", c.Text("--owner"),
            c.PastDay("--since"));
        return $"{deck.ProfileName} {deck.SerialNumber} is in the book";
    }

    private static int List(BookCall c)
    {
        var jobs = c.Book.Jobs().ToLookup(j => j.DeckId);
        // All owners in one go: a question for each deck makes thousands of them.
        var owners = c.Book.Standing<DeckOwner>().ToLookup(o => o.DeckId);
        c.Table(["Profile", "!Serial number", "Owner", "!Jobs"], c.Book.DeckNames().Select(d => new[]
        {
            d.ProfileName, d.SerialNumber, JobDesk.InOrder(owners[d.Id]) is [.., var last] ? last.Name : "",
                string.Join(", ", jobs[d.Id].Select(JobDesk.Number)),
        }));
        return ExitCode.Done;
    }

    private static int Show(BookCall c)
    {
        var desk = new JobDesk(c.Book);
        var deck = desk.FindDeck(c.Need("serial"));
        c.Say($"{deck.ProfileName}, serial number {deck.SerialNumber}{(deck.Description.Length > 0 ? ": " + deck.Description : "")}");
        foreach (var owner in desk.Owners(deck.Id))
            c.Say(
                $"Owner{(owner.Since is { } since ? $" since {since:yyyy-MM-dd}" : "")}: {owner.Name}{(owner.Contact is { } contact ? $" ({contact})" : "")}"
            );
        foreach (var job in c.Book.Jobs(deck.Id))
            c.Say(
                $"Job {JobDesk.Number(job)}, {job.Opened.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}{(job.Closed is null ? ", open" : "")}: {job.What}"
            );
        return ExitCode.Done;
    }

    private static int Profiles(BookCall c)
    {
        var names = new ProfileDesk(c.Book).Names();
        foreach (var name in names.DefaultIfEmpty("none"))
            c.Say(name);
        return ExitCode.Done;
    }

    private static int Export(BookCall c)
    {
        var text = new ProfileDesk(c.Book).Text(c.Need("profile"));
        if (c.Text("--to") is { } path)
            InputFiles.WriteNew(path, text);
        else
            c.Out.Write(text);
        return ExitCode.Done;
    }
}
