using System.Buffers.Binary;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>The two checks that every FLAC frame carries [RFC9639:2024] 9.1.8, 9.3.</summary>
internal static class FlacChecksums
{
    private static readonly byte[] s_crc8 = [.. Enumerable.Range(0, 256).Select(b => (byte)Divide((uint)b, 8, 0x07))];

    /// <summary>Row k: what a byte leaves behind once k more zero bytes have passed, so that eight bytes go at once.</summary>
    private static readonly ushort[] s_crc16 = Rows();

    /// <summary>Over the frame's header: x^8 + x^2 + x + 1, starting at 0.</summary>
    public static byte Crc8(ReadOnlySpan<byte> data)
    {
        byte crc = 0;
        foreach (var b in data)
            crc = s_crc8[crc ^ b];
        return crc;
    }

    /// <summary>Over the whole frame: x^16 + x^15 + x^2 + 1, starting at 0.</summary>
    public static ushort Crc16(ReadOnlySpan<byte> data)
    {
        uint crc = 0;
        var table = s_crc16.AsSpan(0, 8 * 256);
        while (data.Length >= 8)
        {
            var w = BinaryPrimitives.ReadUInt64BigEndian(data) ^ ((ulong)crc << 48);
            crc = (uint)(table[(7 * 256) + (byte)(w >> 56)] ^ table[(6 * 256) + (byte)(w >> 48)]
                ^ table[(5 * 256) + (byte)(w >> 40)] ^ table[(4 * 256) + (byte)(w >> 32)]
                ^ table[(3 * 256) + (byte)(w >> 24)] ^ table[(2 * 256) + (byte)(w >> 16)]
                ^ table[256 + (byte)(w >> 8)] ^ table[(byte)w]);
            data = data[8..];
        }

        foreach (var b in data)
            crc = (ushort)((crc << 8) ^ table[(int)(crc >> 8) ^ b]);
        return (ushort)crc;
    }

    private static ushort[] Rows()
    {
        var rows = new ushort[8 * 256];
        for (var b = 0; b < 256; b++)
            rows[b] = (ushort)Divide((uint)b, 16, 0x8005);
        for (var i = 256; i < rows.Length; i++)
            rows[i] = (ushort)((rows[i - 256] << 8) ^ rows[rows[i - 256] >> 8]);
        return rows;
    }

    private static uint Divide(uint value, int width, uint polynomial)
    {
        var crc = value << (width - 8);
        for (var bit = 0; bit < 8; bit++)
            crc = (crc << 1) ^ ((crc >> (width - 1) & 1) != 0 ? polynomial : 0);
        return crc & ((1u << width) - 1);
    }
}
