using SkiaSharp;

namespace Spoolwright.Reports.Pdf;

/// <summary>Pages of A4 with a place to write next, a footer, and a number on each. All lengths are points (1/72 inch).</summary>
internal sealed class Paper(SKDocument document, string footer, int total) : IDisposable
{
    public const float Width = 595.28f, Height = 841.89f, Side = 44, Top = 36, Bottom = Height - 44;

    private SKCanvas? canvas;

    /// <summary>Width between the margins.</summary>
    public static float Measure => Width - 2 * Side;

    /// <summary>Where the next thing goes.</summary>
    public float Y { get; set; } = Top;

    /// <summary>The page being written, from 1; 0 before the first.</summary>
    public int Page { get; private set; }

    public SKCanvas Canvas => canvas ?? throw new InvalidOperationException("no page has been begun");

    public bool Fits(float height) => Page > 0 && Y + height <= Bottom;

    /// <summary>True where nothing has been written on the page yet.</summary>
    public bool Fresh => Page > 0 && Y <= Top + .01f;

    /// <summary>Turns the page unless the height fits. A thing taller than a page gets a fresh one.</summary>
    public void Need(float height)
    {
        if (Page == 0 || !Fits(height) && !Fresh)
            Turn();
    }

    public void Turn()
    {
        if (Page > 0)
            document.EndPage();
        canvas = document.BeginPage(Width, Height);
        Page++;
        Y = Top;
        string number = total > 0 ? $"page {Page} of {total}" : $"page {Page}";
        using (var rule = new SKPaint { Color = Palette.Rule, StrokeWidth = .6f, Style = SKPaintStyle.Stroke })
            canvas.DrawLine(Side, Height - 38, Width - Side, Height - 38, rule);
        Typeset.Draw(canvas, number, Width - Side, Height - 26, 8, Palette.Quiet, bold: false, SKTextAlign.Right);
        // The deck's name and number are people's own words: cut where they would run into the page number.
        Typeset.Draw(canvas, Typeset.Wrap(footer, 8, bold: false, Measure - 70)[0], Side, Height - 26, 8, Palette.Quiet);
    }

    public void Dispose()
    {
        if (Page > 0)
            document.EndPage();
    }
}
