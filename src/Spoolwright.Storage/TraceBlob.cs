using System.Buffers.Binary;
using System.IO.Compression;

namespace Spoolwright.Storage;

/// <summary>A curve's numbers as bytes: every x, then every y, little-endian binary64, gzip around them.</summary>
internal static class TraceBlob
{
    public static byte[] Pack(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        if (x.Count != y.Count)
            throw new ArgumentException($"a curve needs as many y as x, not {y.Count} for {x.Count}", nameof(y));
        byte[] raw = new byte[16 * x.Count];
        for (int i = 0; i < x.Count; i++)
        {
            BinaryPrimitives.WriteDoubleLittleEndian(raw.AsSpan(8 * i), x[i]);
            BinaryPrimitives.WriteDoubleLittleEndian(raw.AsSpan(8 * (x.Count + i)), y[i]);
        }

        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest))
            gzip.Write(raw);
        return packed.ToArray();
    }

    public static (double[] X, double[] Y) Unpack(byte[] packed, int points)
    {
        byte[] raw = new byte[16 * points];
        try
        {
            using var gzip = new GZipStream(new MemoryStream(packed), CompressionMode.Decompress);
            gzip.ReadExactly(raw);
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException)
        {
            throw new ServiceBookException(
                "damaged",
                "A curve in the service book cannot be unpacked; restore the last backup beside it and compare.",
                e
            );
        }

        double[] x = new double[points], y = new double[points];
        for (int i = 0; i < points; i++)
        {
            x[i] = BinaryPrimitives.ReadDoubleLittleEndian(raw.AsSpan(8 * i));
            y[i] = BinaryPrimitives.ReadDoubleLittleEndian(raw.AsSpan(8 * (points + i)));
        }

        return (x, y);
    }
}
