using System.Security.Cryptography;
using SkiaSharp;

namespace Spoolwright.Reports;

/// <summary>A picture ready to be kept.</summary>
public sealed record KeptPicture(string Sha256, int Width, int Height, byte[] Jpeg);

/// <summary>
/// Takes pictures in: upright, bounded in size, encoded anew from their pixels, so that no data of the camera's comes along.
/// </summary>
public static class PictureIntake
{
    /// <summary>The longer side of a kept picture, pixels: enough to fill a page or a screen.</summary>
    public const int LongestSide = 1600;

    /// <summary>The largest file that is looked at.</summary>
    public const int MostBytes = 40 << 20;

    private const int MostPixels = 120_000_000;
    private const int Quality = 85;

    /// <summary>The picture, or null where it cannot be read as one.</summary>
    public static KeptPicture? Reencode(byte[] bytes)
    {
        ArgumentNullException.ThrowIfNull(bytes);
        if (bytes.Length is 0 or > MostBytes)
            return null;
        using var data = SKData.CreateCopy(bytes);
        using var codec = SKCodec.Create(data);
        if (codec is null || (long)codec.Info.Width * codec.Info.Height is <= 0 or > MostPixels)
            return null;
        // Opaque sRGB whatever the file has: pixels alone are kept.
        using var read = new SKBitmap(new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Premul,
            SKColorSpace.CreateSrgb()));
        if (codec.GetPixels(read.Info, read.GetPixels()) is not SKCodecResult.Success)
            return null;
        var turned =
            codec.EncodedOrigin
            is SKEncodedOrigin.LeftTop
                or SKEncodedOrigin.RightTop
                or SKEncodedOrigin.RightBottom
                or SKEncodedOrigin.LeftBottom;
        int width = turned ? read.Height : read.Width,
            height = turned ? read.Width : read.Height;
        var scale = Math.Min(1.0, LongestSide / (double)Math.Max(width, height));
        int w = Math.Max(1, (int)Math.Round(width * scale)), h = Math.Max(1, (int)Math.Round(height * scale));
        using var surface = SKSurface.Create(new SKImageInfo(w, h, SKColorType.Rgba8888, SKAlphaType.Opaque, SKColorSpace.CreateSrgb()));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale((float)(w / (double)width), (float)(h / (double)height));
        surface.Canvas.Concat(Upright(codec.EncodedOrigin, width, height));
        using var image = SKImage.FromBitmap(read);
        surface.Canvas.DrawImage(image, 0, 0, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        using var drawn = surface.Snapshot();
        using var jpeg = drawn.Encode(SKEncodedImageFormat.Jpeg, Quality);
        var kept = jpeg.ToArray();
        return new KeptPicture(Convert.ToHexStringLower(SHA256.HashData(kept)), w, h, kept);
    }

    // The eight ways in which a camera may have lain.
    private static SKMatrix Upright(SKEncodedOrigin origin, float width, float height) => origin switch
    {
        SKEncodedOrigin.TopRight => new SKMatrix(-1, 0, width, 0, 1, 0, 0, 0, 1),
        SKEncodedOrigin.BottomRight => new SKMatrix(-1, 0, width, 0, -1, height, 0, 0, 1),
        SKEncodedOrigin.BottomLeft => new SKMatrix(1, 0, 0, 0, -1, height, 0, 0, 1),
        SKEncodedOrigin.LeftTop => new SKMatrix(0, 1, 0, 1, 0, 0, 0, 0, 1),
        SKEncodedOrigin.RightTop => new SKMatrix(0, -1, width, 1, 0, 0, 0, 0, 1),
        SKEncodedOrigin.RightBottom => new SKMatrix(0, -1, width, -1, 0, height, 0, 0, 1),
        SKEncodedOrigin.LeftBottom => new SKMatrix(0, 1, 0, -1, 0, height, 0, 0, 1),
        _ => SKMatrix.Identity,
    };
}
