using System.Buffers.Binary;
using System.Runtime.InteropServices;

namespace Spoolwright.App.Web;

/// <summary>
/// A block of live sound as the page sends it: 16 bytes of heading (number of the block from 0, frames, two words of zero; 32-bit,
/// little-endian), then the left and then the right channel as 32-bit floating point, full scale ±1.
/// </summary>
internal readonly ref struct SoundBlock
{
    private const int Heading = 16;

    private SoundBlock(uint number, ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        Number = number;
        Left = left;
        Right = right;
    }

    /// <summary>Number of the block; a gap in the numbers is lost sound.</summary>
    public uint Number { get; }

    public ReadOnlySpan<float> Left { get; }

    public ReadOnlySpan<float> Right { get; }

    /// <summary>Reads a block; false where the bytes are none, or hold what is no number.</summary>
    public static bool TryRead(ReadOnlySpan<byte> bytes, out SoundBlock block)
    {
        block = default;
        if (bytes.Length < Heading)
            return false;
        var frames = BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]);
        if (frames == 0 || bytes.Length != Heading + (8L * frames))
            return false;
        var samples = MemoryMarshal.Cast<byte, float>(bytes[Heading..]);
        foreach (var sample in samples)
        {
            if (!(Math.Abs(sample) < 1e3f))
                return false;
        }

        block = new SoundBlock(BinaryPrimitives.ReadUInt32LittleEndian(bytes), samples[..(int)frames], samples[(int)frames..]);
        return true;
    }
}
