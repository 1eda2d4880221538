using System.Reflection;
using ScottPlot;
using SkiaSharp;

namespace Spoolwright.Reports;

/// <summary>The record's typeface, out of the program itself: no format leans on a font of the machine.</summary>
internal static class RecordFonts
{
    /// <summary>The family's name, in the font files and in the record's style.</summary>
    public const string Family = "Spoolwright Record";

    private static readonly Lock Once = new();
    private static bool registered;

    public static SKTypeface Regular { get; } = Load("record-regular.ttf");

    public static SKTypeface Bold { get; } = Load("record-bold.ttf");

    /// <summary>A font file's bytes.</summary>
    public static byte[] Bytes(string file)
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("Fonts/" + file)
            ?? throw new InvalidOperationException($"the font {file} is not in the program");
        byte[] bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }

    /// <summary>Text with every character that the typeface lacks put as a question mark; a method in an older book has one sign that has a
    /// stand-in.</summary>
    public static string Printable(string text) =>
        text.All(c => c < 127 || Regular.ContainsGlyph(c)) ? text : string
            .Concat(text.Replace('∝', '~').EnumerateRunes().Select(r => Regular.ContainsGlyph(r.Value) ? r.ToString() : "?"));

    /// <summary>Tells the plotting library of the typeface.</summary>
    public static void Register()
    {
        lock (Once)
        {
            if (registered)
                return;
            Fonts.FontResolvers.Insert(0, new Resolver());
            registered = true;
        }
    }

    private static SKTypeface Load(string file)
    {
        using var data = SKData.CreateCopy(Bytes(file));
        return SKTypeface.FromData(data) ?? throw new InvalidOperationException($"the font {file} cannot be read");
    }

    private sealed class Resolver : IFontResolver
    {
        public SKTypeface? CreateTypeface(string fontName, FontWeight weight, FontSlant slant, FontSpacing spacing) =>
            CreateTypeface(fontName, weight >= FontWeight.SemiBold, slant != FontSlant.Upright);

        // A new one each time, since the library disposes of what it is given.
        public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) =>
            fontName == Family ? Load(bold ? "record-bold.ttf" : "record-regular.ttf") : null;
    }
}
