using System.CommandLine;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Cli;

/// <summary><c>shop</c> and <c>photo</c>.</summary>
internal static class ShopCommand
{
    public static Command Shop(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("shop", "The shop's own settings, and its key.",
            "Name, currency, time zone and warranty are used wherever nothing else is said. The key signs records; it lies in a file of its own and never in the book.",
            v.Verb("show", "Shows the settings.", [], [new("spoolwright shop show", "What is used where nothing else is said.")], Show,
                makesBook: true),
            v.Verb("set", "Sets what is given, and leaves the rest.",
                [BookVerbs.Given("--name", "NAME", "The shop's name."), BookVerbs.Given("--place", "TEXT", "Where it is."),
                    BookVerbs.Given("--currency", "CODE", "Such as EUR."), BookVerbs.Given("--zone", "ZONE", "Such as Europe/Dublin."),
                    BookVerbs.Given("--hourly", "AMOUNT", "What an hour should bring."),
                        BookVerbs.Given("--months", "N", "Months of warranty."),
                        BookVerbs.Given("--terms", "TEXT", "What the warranty covers.")],
                [new("spoolwright shop set --name \"Reel Yard\" --currency EUR --zone Europe/Dublin --hourly 22",
                    "Times that are typed are meant in that zone.")], c =>
                {
                    var old = c.Shop;
                    var currency = c.Text("--currency")?.ToUpperInvariant() ?? old.Currency;
                    new ShopDesk(c.Book).Set(old with
                    {
                        Name = c.Text("--name") ?? old.Name,
                        Place = c.Text("--place") ?? old.Place,
                        Currency = currency,
                        Zone = c.Text("--zone") ?? old.Zone,
                        HourlyWanted = c.Text("--hourly") is { } hourly ? Money.Parse(hourly, currency) : old.HourlyWanted,
                        WarrantyMonths = c.Whole("--months") ?? old.WarrantyMonths,
                        WarrantyTerms = c.Text("--terms") ?? old.WarrantyTerms,
                    });
                    return "set";
                }, makesBook: true),
            v.Verb("key", "Makes the shop's key, or shows its fingerprint.",
                [BookVerbs.Word("file", "The key's file."), BookVerbs.Flag("--new", "Make a new key there.")],
                [
                    new("spoolwright shop key shop-key.pem --new", "Keep a copy of the file where nobody else finds it."),
                    new("spoolwright shop key shop-key.pem", "Its fingerprint, to print on your card."),
                ],
                c =>
                    $"the key's fingerprint is {(c.Has("--new") ? SignOffDesk.NewKey(c.Need("file")) : SignOffDesk.Fingerprint(c.Need("file")))}",
                makesBook: true
            )
        );
    }

    public static Command Photo(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("photo", "Photos of a job, by assembly.",
            "A photo is scaled to 1600 pixels and encoded anew when it is taken in: place, time and the camera's other data are left behind.",
            v.Verb("add", "Takes photos in.",
                [BookVerbs.JobName(), BookVerbs.Word("assembly", "What is seen, such as \"head block\"."),
                    new Argument<string[]>("files") { HelpName = "FILE…", Description = "JPEG, PNG or WebP.",
                    Arity = ArgumentArity.OneOrMore }, JobCommand.MarkOption(), BookVerbs.Given("--caption", "TEXT", "A caption.")],
                [new("spoolwright photo add 3f2a \"head block\" heads.jpg --mark as-found", "It stands beside the one as left.")], c =>
                {
                    foreach (var file in c.Many("files"))
                    {
                        var (job, mark, bytes) = (c.Job, c.Word("--mark", Mark.AsFound), PictureBytes(file));
                        Photo photo;
                        try
                        {
                            photo = new PhotoDesk(c.Book).Add(job.Id, mark, c.Need("assembly"), c.Text("--caption"), bytes);
                        }
                        catch (EntryException e)
                        {
                            // Of several files, which.
                            throw new CallException($"{file}: {e.Message}");
                        }

                        c.Say($"{file} is photo {CheckBoard.ShortKey(photo.Id)}");
                    }

                    return ExitCode.Done;
                }),
            v.Verb("list", "Lists a job's photos.", [BookVerbs.JobName()], [new("spoolwright photo list 3f2a", "By assembly.")], c =>
            {
                c.Table(["Photo", "Assembly", "Mark", "Caption"], new PhotoDesk(c.Book).Photos(c.Job.Id)
                    .Select(p => new[] { CheckBoard.ShortKey(p.Id), p.Assembly, KebabWord.Plain(p.Mark), p.Caption }));
                return ExitCode.Done;
            }),
            v.Verb("save", "Writes a photo as a file.", [BookVerbs.JobName(), BookVerbs.Word("photo", "The photo's number."),
                BookVerbs.Word("file", "A new file, ending in .jpg.")],
                [new("spoolwright photo save 3f2a 91bc heads.jpg", "The picture as the book has it.")], c =>
                {
                    var found = new PhotoDesk(c.Book).Photos(c.Job.Id)
                        .Where(p => CheckBoard.ShortKey(p.Id).StartsWith(c.Need("photo"), StringComparison.OrdinalIgnoreCase)).ToList();
                    if (found.Count != 1)
                        throw new CallException($"{found.Count} photos of this job begin with {c.Need("photo")}");
                    using var stream = new FileStream(c.Need("file"), FileMode.CreateNew);
                    stream.Write(new PhotoDesk(c.Book).Picture(found[0]).Jpeg);
                    return c.Need("file");
                }));
    }

    private static byte[] PictureBytes(string path)
    {
        InputFiles.MustBeReadable(path);
        return new FileInfo(path).Length <= Reports.PictureIntake.MostBytes ? File.ReadAllBytes(path)
            : throw new CallException($"{path} is larger than {Reports.PictureIntake.MostBytes >> 20} MB");
    }

    private static int Show(BookCall c)
    {
        var shop = c.Shop;
        c.Say($"{shop.Name}{(shop.Place is { } place ? ", " + place : "")}");
        c.Say(
            $"Currency {shop.Currency}, time zone {shop.Zone}{(shop.HourlyWanted is { } hourly ? $", an hour should bring {hourly}" : "")}"
        );
        c.Say(shop.WarrantyMonths == 0 ? "No warranty" : $"Warranty {shop.WarrantyMonths} months: {shop.WarrantyTerms}");
        return ExitCode.Done;
    }
}
