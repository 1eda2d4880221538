using SkiaSharp;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>
/// The record's colours: ink on paper, one earth tone for the limits, verdicts in four inks dark enough to read (at least 4.5 : 1 on the
/// paper)
/// and never without their word or their mark.
/// </summary>
internal static class Palette
{
    public static readonly SKColor Paper = new(0xFF, 0xFF, 0xFF);
    public static readonly SKColor Ink = new(0x22, 0x26, 0x2B);
    public static readonly SKColor Quiet = new(0x5A, 0x60, 0x66);
    public static readonly SKColor Rule = new(0xCF, 0xCA, 0xBF);
    public static readonly SKColor Wash = new(0xF6, 0xF3, 0xEC);
    public static readonly SKColor Accent = new(0x2F, 0x5D, 0x62);

    /// <summary>What was found, drawn behind: lighter and dashed.</summary>
    public static readonly SKColor Before = new(0x9A, 0x7B, 0x4F);

    /// <summary>The limits.</summary>
    public static readonly SKColor Limit = new(0x8C, 0x3B, 0x2A);

    public static readonly SKColor Inside = new(0xEE, 0xF3, 0xEE);

    public static SKColor Of(Verdict verdict) => verdict switch
    {
        Verdict.Met => new(0x1F, 0x6B, 0x3A),
        Verdict.NotProven => new(0x80, 0x59, 0x0B),
        Verdict.NotMet => new(0xA3, 0x2A, 0x1C),
        _ => Quiet,
    };

    public static string Css(SKColor color) => $"#{color.Red:x2}{color.Green:x2}{color.Blue:x2}";
}
