using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Demo;

/// <summary>One deck of the invented year.</summary>
/// <param name="Profile">Its kind.</param>
/// <param name="Serial">Its serial number.</param>
/// <param name="Seller">From whom.</param>
/// <param name="Asked">What was paid, EUR.</param>
/// <param name="Fetched">What it fetched, EUR.</param>
/// <param name="Buyer">To whom.</param>
/// <param name="Hard">How hard the work was against what was foreseen.</param>
/// <param name="Working">Whether it ran.</param>
/// <param name="Handled">Who had it in hand.</param>
/// <param name="Missing">What was missing; empty: nothing.</param>
/// <param name="Parts">Condition by part.</param>
internal sealed record ShopYearDeck(
    string Profile, string Serial, string Seller, int Asked, int Fetched, string Buyer, double Hard, Working Working, Handled Handled,
        string? Missing, string[] Parts);

/// <summary>The decks of the invented year. Makers, people and places are invented.</summary>
internal static class ShopYearDecks
{
    public static IReadOnlyList<ShopYearDeck> All { get; } =
    [
        new("Marrowby 74 R", "740 0391", "E. Tarn", 190, 910, "W. Ashgrove", 1.15, Working.No, Handled.Untouched, "",
            ["heads=worn", "case=good"]),
        new("Marrowby 74 R", "740 0822", "R. Pell", 240, 980, "J. Tolland", 0.95, Working.Partly, Handled.Untouched, "",
            ["heads=good", "case=good", "motors=good"]),
        new("Ketterby 52", "52-10477", "house clearance", 90, 520, "M. Oakhanger", 0.85, Working.Partly, Handled.Repaired,
            "take-up adapter", ["heads=worn", "case=worn"]),
        new("Marrowby 74 R", "740 1010", "L. Wick", 150, 840, "P. Sandling", 1.3, Working.No, Handled.Lubricated, "",
            ["heads=worn", "electronics=bad", "case=worn"]),
        new("Olverstone 3", "3-00871", "E. Tarn", 260, 1120, "I. Brackley-Moss", 1.0, Working.Yes, Handled.Untouched, "",
            ["heads=good", "case=good"]),
        new("Marrowby 74 R", "740 0655", "school in Lower Tidding", 120, 870, "D. Yarrow", 1.1, Working.Partly, Handled.Repaired,
            "one reel lock", ["heads=worn", "case=worn", "electronics=worn"]),
        new("Ketterby 52", "52-11902", "A. Fenner", 110, 560, "C. Holloway", 0.9, Working.Partly, Handled.Untouched, "",
            ["heads=good", "case=good"]),
        new("Marrowby 74 R", "740 1244", "N. Stroud", 230, 1010, "F. Lindop", 0.9, Working.Yes, Handled.Untouched, "",
            ["heads=good", "motors=good", "case=good", "electronics=good"]),
        new("Olverstone 3", "3-01260", "house clearance", 210, 980, "T. Merrow", 1.2, Working.No, Handled.Lubricated, "",
            ["heads=worn", "motors=worn", "case=good"]),
        new("Marrowby 74 R", "740 0478", "R. Pell", 200, 930, "S. Kelk", 1.05, Working.Partly, Handled.Untouched, "",
            ["heads=worn", "case=good"]),
        new("Marrowby 74 R", "740 1366", "G. Thornby", 220, 960, "V. Askew", 1.0, Working.Partly, Handled.Untouched, "",
            ["heads=good", "case=worn"]),
    ];
}
