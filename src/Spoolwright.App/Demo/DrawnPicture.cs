using SkiaSharp;

namespace Spoolwright.App.Demo;

/// <summary>Drawings in the place of photos: nobody can photograph an invented deck.</summary>
internal static class DrawnPicture
{
    /// <summary>
    /// A head block seen from above: three heads, guides, capstan and roller; with the fluff it was found in, or without.
    /// </summary>
    public static byte[] HeadBlock(bool asFound)
    {
        using var surface = SKSurface.Create(new SKImageInfo(1200, 700));
        var canvas = surface.Canvas;
        canvas.Clear(new SKColor(0xE9, 0xE4, 0xDA));
        using var metal = new SKPaint { Color = new SKColor(0x8D, 0x93, 0x98), IsAntialias = true };
        using var dark = new SKPaint { Color = new SKColor(0x2B, 0x2E, 0x33), IsAntialias = true };
        using var tape = new SKPaint
        {
            Color = new SKColor(0x5A, 0x3A, 0x28),
            StrokeWidth = 6,
            IsAntialias = true,
            Style = SKPaintStyle.Stroke
        };
        canvas.DrawRoundRect(80, 120, 1040, 460, 24, 24, metal);
        foreach (var x in new[] { 330f, 560f, 790f })
        {
            canvas.DrawRoundRect(x - 62, 330, 124, 150, 18, 18, dark);
            canvas.DrawOval(x, 330, 60, 26, metal);
        }

        canvas.DrawLine(60, 300, 1140, 300, tape);
        foreach (var x in new[] { 180f, 960f })
            canvas.DrawCircle(x, 322, 24, dark);
        canvas.DrawCircle(1040, 280, 20, metal);
        canvas.DrawCircle(1040, 352, 48, dark);
        if (asFound)
        {
            var random = new Random(7);
            using var fluff = new SKPaint { Color = new SKColor(0x6B, 0x4A, 0x2E, 0xA0), StrokeWidth = 3, IsAntialias = true };
            for (var i = 0; i < 420; i++)
            {
                float x = 100 + random.NextSingle() * 1000, y = 300 + random.NextSingle() * 260;
                canvas.DrawLine(x, y, x + 22 * (random.NextSingle() - 0.5f), y + 22 * (random.NextSingle() - 0.5f), fluff);
            }
        }

        using var image = surface.Snapshot();
        return image.Encode(SKEncodedImageFormat.Png, 100).ToArray();
    }
}
