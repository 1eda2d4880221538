using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>
/// Bits of a FLAC frame, highest first, out of a buffer. Reading past its end gives zeros and sets <see cref="RanOut"/>:
/// the frame is then decoded again once more bytes are there.
/// </summary>
internal struct FlacBits
{
    /// <summary>Bytes that the buffer must have beyond the end.</summary>
    public const int Pad = 16;

    private readonly byte[] _data;
    private readonly long _limit;
    private long _position;

    /// <param name="data">The buffer, at least <see cref="Pad"/> bytes longer than <paramref name="end"/>.</param>
    /// <param name="start">First byte.</param>
    /// <param name="end">Byte after the last.</param>
    public FlacBits(byte[] data, int start, int end)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(start);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(end, data.Length - Pad);
        _data = data;
        _position = start * 8L;
        _limit = end * 8L;
    }

    /// <summary>True once something beyond the end was asked for.</summary>
    public bool RanOut { get; private set; }

    /// <summary>Place of the next byte that begins at or after the next bit.</summary>
    public readonly int BytePosition => (int)((_position + 7) >> 3);

    /// <summary>Reads 0 to 32 bits as a number without sign.</summary>
    public uint Read(int count)
    {
        if (_position + count > _limit)
            return (uint)End();
        var value = (uint)(Window(ref MemoryMarshal.GetArrayDataReference(_data), _position) >> 1 >> (63 - count));
        _position += count;
        return value;
    }

    /// <summary>Reads 0 to 33 bits as two's complement.</summary>
    public long ReadSigned(int count)
    {
        if (count == 0)
            return 0;
        if (_position + count > _limit)
            return End();
        var value = (long)Window(ref MemoryMarshal.GetArrayDataReference(_data), _position) >> (64 - count);
        _position += count;
        return value;
    }

    /// <summary>Counts zeros up to the next one, and passes it.</summary>
    public uint ReadUnary()
    {
        uint zeros = 0;
        while (_position < _limit)
        {
            // A window has at least 57 bits that are its own; what comes in behind them is zero.
            var run = BitOperations.LeadingZeroCount(Window(ref MemoryMarshal.GetArrayDataReference(_data), _position));
            if (run < 57)
            {
                _position += run + 1;
                if (_position > _limit)
                    break;
                return zeros + (uint)run;
            }

            zeros += 56;
            _position += 56;
        }

        return (uint)End();
    }

    /// <summary>Goes on to the next whole byte; false when the bits left out are not zero.</summary>
    public bool AlignToByte() => Read((int)(-_position & 7)) == 0;

    /// <summary>Reads Rice-coded residuals of one partition [RFC9639:2024] 9.2.7.2; false when one does not fit 32 bits.</summary>
    /// <param name="parameter">Low bits that stand plain, 0 to 30.</param>
    /// <param name="residuals">Takes them.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public bool ReadRice(int parameter, Span<int> residuals)
    {
        ref var data = ref MemoryMarshal.GetArrayDataReference(_data);
        var position = _position;
        var limit = _limit;
        // From here on a quotient is left to the slow way: its bits may leave the window, or the number 32 bits.
        var quotients = (int)Math.Min(56 - parameter, parameter == 0 ? 56 : 1L << (32 - parameter));
        ref var to = ref MemoryMarshal.GetReference(residuals);
        nint i = 0;
        nint count = residuals.Length;
        // Keeps the loads inside the buffer and its pad.
        while (i < count && position <= limit)
        {
            var window = Window(ref data, position);
            var quotient = BitOperations.LeadingZeroCount(window);
            if (quotient < quotients)
            {
                Unsafe.Add(ref to, i++) = Unfold(window, quotient, parameter);
                var used = quotient + 1 + parameter;
                // Most often the next ones stand in the same window, which spares the wait for another load.
                window <<= used;
                quotient = BitOperations.LeadingZeroCount(window);
                if (i < count && quotient < quotients && used + quotient + 1 + parameter <= 57)
                {
                    Unsafe.Add(ref to, i++) = Unfold(window, quotient, parameter);
                    used += quotient + 1 + parameter;
                    window <<= quotient + 1 + parameter;
                    quotient = BitOperations.LeadingZeroCount(window);
                    if (i < count && quotient < quotients && used + quotient + 1 + parameter <= 57)
                    {
                        Unsafe.Add(ref to, i++) = Unfold(window, quotient, parameter);
                        used += quotient + 1 + parameter;
                    }
                }

                position += used;
                continue;
            }

            _position = position;
            var folded = ((ulong)ReadUnary() << parameter) | Read(parameter);
            if (RanOut)
                return true;
            if (folded > uint.MaxValue)
                return false;
            position = _position;
            Unsafe.Add(ref to, i++) = (int)(folded >> 1) ^ -(int)(folded & 1);
        }

        _position = position;
        if (position > limit)
            End();
        return true;
    }

    /// <summary>The number whose unary part is known; even ones stand for 0, 1, 2…, odd ones for −1, −2….</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Unfold(ulong window, int quotient, int parameter)
    {
        var folded = ((uint)quotient << parameter) | (uint)(window << quotient << 1 >> 1 >> (63 - parameter));
        return (int)(folded >> 1) ^ -(int)(folded & 1);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Window(ref byte data, long position)
    {
        var bytes = Unsafe.ReadUnaligned<ulong>(ref Unsafe.AddByteOffset(ref data, (nint)(position >> 3)));
        return (BitConverter.IsLittleEndian ? BinaryPrimitives.ReverseEndianness(bytes) : bytes) << (int)(position & 7);
    }

    private long End()
    {
        RanOut = true;
        _position = _limit;
        return 0;
    }
}
