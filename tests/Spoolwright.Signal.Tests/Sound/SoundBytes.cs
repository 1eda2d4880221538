using System.Buffers.Binary;
using System.Numerics;
using System.Text;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>
/// Sound files written byte by byte for the tests, by code that shares nothing with the readers:
/// samples are given as integers at the top of 32 bits, or as doubles.
/// </summary>
internal static class SoundBytes
{
    public static byte[] Join(params byte[][] parts) => [.. parts.SelectMany(p => p)];

    public static byte[] Ascii(string text) => Encoding.ASCII.GetBytes(text);

    public static byte[] Le(ulong value, int bytes) => [.. Enumerable.Range(0, bytes).Select(i => (byte)(value >> (8 * i)))];

    public static byte[] Be(ulong value, int bytes) => [.. Le(value, bytes).Reverse()];

    /// <summary>A RIFF chunk with its pad byte.</summary>
    public static byte[] Chunk(string id, byte[] body, uint? size = null) =>
        Join(Ascii(id), Le(size ?? (uint)body.Length, 4), body, new byte[body.Length & 1]);

    /// <summary>An IFF chunk with its pad byte.</summary>
    public static byte[] BigChunk(string id, byte[] body, uint? size = null) =>
        Join(Ascii(id), Be(size ?? (uint)body.Length, 4), body, new byte[body.Length & 1]);

    public static byte[] Format(int tag, int channels, int rate, int bits, int? blockAlign = null)
    {
        var align = blockAlign ?? channels * ((bits + 7) / 8);
        return Join(
            Le((ulong)tag, 2),
            Le((ulong)channels, 2),
            Le((ulong)rate, 4),
            Le((ulong)(rate * align), 4),
            Le((ulong)align, 2),
            Le((ulong)bits, 2)
        );
    }

    public static byte[] Extensible(int tag, int channels, int rate, int bits, int validBits) =>
        Join(
            Format(0xFFFE, channels, rate, bits),
            Le(22, 2),
            Le((ulong)validBits, 2),
            Le(channels == 1 ? 4 : (1ul << channels) - 1, 4),
            Le((ulong)tag, 2),
            [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71]
        );

    public static byte[] Wav(byte[] format, byte[] data, uint? dataSize = null, uint? riffSize = null)
    {
        var body = Join(Ascii("WAVE"), Chunk("fmt ", format), Chunk("LIST", Ascii("INFOx")), Chunk("data", data, dataSize));
        return Join(Ascii("RIFF"), Le(riffSize ?? (uint)body.Length, 4), body);
    }

    /// <summary>A 64-bit WAVE file of either name.</summary>
    public static byte[] Wav64(string id, byte[] format, byte[] data) => Join(
        Ascii(id), Le(uint.MaxValue, 4), Ascii("WAVE"),
        Chunk("ds64", Join(Le((ulong)data.Length + 72, 8), Le((ulong)data.Length, 8), Le(0, 8), Le(0, 4))),
        Chunk("fmt ", format), Chunk("data", data, uint.MaxValue));

    public static byte[] Aiff(int channels, int rate, int bits, byte[] data, string? coding = null, uint? frames = null)
    {
        var stored = (bits + 7) / 8 * channels;
        var common = Join(Be((ulong)channels, 2), Be(frames ?? (uint)(data.Length / stored), 4), Be((ulong)bits, 2), Extended(rate));
        if (coding is not null)
            common = Join(common, Ascii(coding), [4, (byte)'t', (byte)'e', (byte)'s', (byte)'t', 0]);
        var body = Join(
            Ascii(coding is null ? "AIFF" : "AIFC"),
            coding is null ? [] : BigChunk("FVER", Be(0xA2805140, 4)),
            BigChunk("NAME", Ascii("odd")), BigChunk("COMM", common), BigChunk("SSND", Join(Be(0, 8), data)));
        return Join(Ascii("FORM"), Be((ulong)body.Length, 4), body);
    }

    /// <summary>An 80-bit number.</summary>
    public static byte[] Extended(int value)
    {
        if (value == 0)
            return new byte[10];
        var exponent = BitOperations.Log2((uint)value);
        return Join(Be((ulong)(16383 + exponent), 2), Be((ulong)value << (63 - exponent), 8));
    }

    /// <summary>Samples at the top of 32 bits, cut to whole bytes.</summary>
    public static byte[] Integers(IEnumerable<int> samples, int bytes, bool bigEndian = false, bool isUnsigned = false) =>
        [.. samples.SelectMany(s =>
        {
            var top = (uint)s ^ (isUnsigned ? 0x8000_0000u : 0);
            var cut = (ulong)(top >> (32 - (8 * bytes)));
            return bigEndian ? Be(cut, bytes) : Le(cut, bytes);
        })];

    public static byte[] Floats(IEnumerable<float> samples, bool bigEndian = false) =>
        [.. samples.SelectMany(s => bigEndian ? Be(BitConverter.SingleToUInt32Bits(s), 4) : Le(BitConverter.SingleToUInt32Bits(s), 4))];

    public static byte[] Doubles(IEnumerable<double> samples, bool bigEndian = false) =>
        [.. samples.SelectMany(s => bigEndian ? Be(BitConverter.DoubleToUInt64Bits(s), 8) : Le(BitConverter.DoubleToUInt64Bits(s), 8))];

    /// <summary>Seeded integers over all 32 bits, with both ends of the range, zero and one step among them.</summary>
    public static int[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        var samples = new int[count];
        for (var i = 0; i < count; i++)
            samples[i] = random.Next(16) switch
            {
                0 => int.MinValue,
                1 => int.MaxValue,
                2 => 0,
                3 => -1,
                4 => 1 << 8,
                _ => random.Next(int.MinValue, int.MaxValue),
            };
        return samples;
    }

    public static int ReadTop(ReadOnlySpan<byte> at, int bytes) => bytes switch
    {
        1 => at[0] << 24,
        2 => BinaryPrimitives.ReadInt16LittleEndian(at) << 16,
        3 => (at[0] << 8) | (at[1] << 16) | (at[2] << 24),
        _ => BinaryPrimitives.ReadInt32LittleEndian(at),
    };
}
