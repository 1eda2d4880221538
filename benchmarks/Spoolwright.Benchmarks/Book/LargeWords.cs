namespace Spoolwright.Benchmarks.Book;

/// <summary>Invented words of a large book.</summary>
internal static class LargeWords
{
    private static readonly string[] AllFaults =
    [
        "belts turned to tar", "pinch roller glazed", "reel motor hums", "capstan bearing dry", "counter belt missing",
        "relay contacts black", "head worn to the shim", "brake pads gone", "lamp of the left meter dark",
        "pot of the right input scratches", "idler slips in reverse", "solenoid weak when warm", "oil on the flywheel", "foil sensor dirty",
        "supply reel table runs out of true", "feet perished",
    ];

    private static readonly string[] AllWork =
    [
        "Belts replaced", "Rollers replaced", "Transport stripped and cleaned", "Relays cleaned", "Head block rebuilt", "Brakes lined anew",
        "Meters lit again", "Bearings oiled", "Azimuth set", "Bias set for the new tape", "Run in for four hours", "Speed trimmed",
    ];

    private static readonly string[] First = ["Ada", "Bram", "Cleo", "Dov", "Edda", "Finn", "Gwen", "Hal", "Ines", "Jory", "Kit", "Lena"];

    private static readonly string[] Last =
    [
        "Almsby", "Birchet", "Corwell", "Dunmarsh", "Eastly", "Farholt", "Gorseway", "Hollin", "Ivory", "Jessop", "Kelder", "Lowmoor",
    ];

    /// <summary>One to <paramref name="most"/> faults.</summary>
    public static string Faults(Random random, int most) => Some(random, AllFaults, most);

    /// <summary>One to four things done.</summary>
    public static string Work(Random random) => Some(random, AllWork, 4);

    /// <summary>Somebody.</summary>
    public static string Person(Random random) => $"{First[random.Next(First.Length)]} {Last[random.Next(Last.Length)]}";

    private static string Some(Random random, string[] of, int most) =>
        string.Join(", ", Enumerable.Range(0, random.Next(1, most + 1)).Select(_ => of[random.Next(of.Length)]));
}
