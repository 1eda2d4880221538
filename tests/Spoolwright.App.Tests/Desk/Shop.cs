using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Desk;

/// <summary>A shop with a clock of its own, a book on disk and one open job on a deck of the example profile.</summary>
internal sealed class Shop : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("spoolwright-shop-").FullName;

    public Shop()
    {
        Clock = new SetClock();
        Book = ServiceBook.Open(Path, TimeSpan.FromSeconds(60), Clock);
        new ShopDesk(Book).Set(new ShopFacts
        {
            Name = "Reel Yard",
            Currency = "EUR",
            Zone = "Europe/Dublin",
            WarrantyMonths = 12,
            WarrantyTerms = "Parts and work; not the heads' wear."
        });
        Jobs = new JobDesk(Book);
        Deck = Jobs.TakeIn(Profile, "740 2201", "invented", "E. Marsh", new DateOnly(2001, 5, 1));
        Job = Jobs.Open(Deck, "Whole restoration");
    }

    public static string Profile { get; } = File.ReadAllText(System.IO.Path.Combine(Cli.Tree.Root, "examples/deck-profile.json"));

    public static TimeZoneInfo Zone { get; } = TimeZoneInfo.FindSystemTimeZoneById("Europe/Dublin");

    public string Folder => folder;

    public string Path => System.IO.Path.Combine(folder, "shop.db");

    public SetClock Clock { get; }

    public ServiceBook Book { get; }

    public JobDesk Jobs { get; }

    public Bench.Service.Deck Deck { get; }

    public Job Job { get; }

    public void Dispose()
    {
        Book.Dispose();
        Directory.Delete(folder, recursive: true);
    }

    /// <summary>A clock that goes only when it is told to.</summary>
    internal sealed class SetClock : TimeProvider
    {
        public DateTimeOffset Time { get; set; } = new(2026, 3, 26, 9, 0, 0, TimeSpan.Zero);

        public override DateTimeOffset GetUtcNow() => Time;

        public void Wait(double minutes) => Time = Time.AddMinutes(minutes);
    }
}
