using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Spoolwright.Signal.Sound;

/// <summary>
/// Turns interleaved samples of any width and byte order into planar single precision, full scale ±1.
/// One byte shuffle moves each sample to the top of 32 bits, whatever its width, so that all integers share one scale of 2^-31:
/// exact for up to 24 bits, rounded once above.
/// </summary>
internal sealed class PlanarConverter
{
    /// <summary>Bytes that must be readable before the first and after the last frame: vectors load more than they use.</summary>
    public const int Pad = 32;

    /// <summary>Magnitude, 144 dB above full scale, from which a floating-point sample is no sound: later sums of squares must stay
    /// finite.</summary>
    public const float Absurd = 1 << 24;

    private const float IntegerScale = 1f / (1L << 31);

    private readonly int _bytes;
    private readonly int _stride;
    private readonly bool _bigEndian;
    private readonly bool _isFloat;
    private readonly int _flip;
    private readonly int _left;
    private readonly int _right;
    private readonly bool _isPair;
    private readonly bool _isMono;
    private readonly Vector128<byte> _pairShuffle;
    private readonly Vector128<byte> _monoShuffle;

    /// <param name="layout">How the samples lie.</param>
    /// <param name="leftIndex">The left channel's place, from 0.</param>
    /// <param name="rightIndex">The right channel's place, from 0; equal to the left for one channel.</param>
    public PlanarConverter(PcmLayout layout, int leftIndex, int rightIndex)
    {
        _bytes = layout.BytesPerSample;
        _stride = layout.BytesPerFrame;
        _bigEndian = layout.BigEndian;
        _isFloat = layout.Format.Encoding == SampleEncoding.Float;
        _flip = layout.Format.Encoding == SampleEncoding.UnsignedInteger ? int.MinValue : 0;
        _left = leftIndex;
        _right = rightIndex;
        _isPair = layout.Format.ChannelsInFile == 2 && leftIndex != rightIndex && _bytes <= 4;
        _isMono = layout.Format.ChannelsInFile == 1 && _bytes <= 4;
        _pairShuffle = Shuffle([leftIndex, leftIndex + 2, rightIndex, rightIndex + 2]);
        _monoShuffle = Shuffle([0, 1, 2, 3]);
    }

    /// <summary>Converts whole frames.</summary>
    /// <param name="data">Holds the frames, with <see cref="Pad"/> bytes readable on either side.</param>
    /// <param name="start">Place of the first frame, at least <see cref="Pad"/>.</param>
    /// <param name="left">Takes the left channel; its length is the number of frames.</param>
    /// <param name="right">Takes the right channel, as long; empty when there is one channel.</param>
    /// <returns>False when some floating-point sample is no sound (NaN, infinite or <see cref="Absurd"/>).</returns>
    public bool Convert(byte[] data, int start, Span<float> left, Span<float> right)
    {
        var frames = left.Length;
        ArgumentOutOfRangeException.ThrowIfLessThan(start, Pad);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(start + ((long)frames * _stride) + Pad, data.Length, nameof(start));
        ref var first = ref data[start];
        ref var l = ref MemoryMarshal.GetReference(left);
        ref var r = ref MemoryMarshal.GetReference(right);
        if (_isPair)
        {
            ArgumentOutOfRangeException.ThrowIfLessThan(right.Length, frames, nameof(right));
            return _isFloat
                ? Pairs<FloatBits>(ref first, frames, ref l, ref r)
                : Pairs<TopInteger>(ref first, frames, ref l, ref r);
        }

        if (_isMono)
            return _isFloat ? Mono<FloatBits>(ref first, frames, ref l) : Mono<TopInteger>(ref first, frames, ref l);
        var isSound = Strided(ref first, _left, left);
        return right.IsEmpty ? isSound : Strided(ref first, _right, right[..frames]) && isSound;
    }

    private Vector128<byte> Shuffle(ReadOnlySpan<int> samples)
    {
        Span<byte> indices = stackalloc byte[16];
        // Index bytes beyond 15 give zero: the low end of samples with fewer than four bytes.
        indices.Fill(0xFF);
        for (var lane = 0; lane < 4 && _bytes <= 4; lane++)
        {
            for (var b = 0; b < _bytes; b++)
                indices[(4 * lane) + 3 - b] = (byte)((samples[lane] * _bytes) + (_bigEndian ? b : _bytes - 1 - b));
        }

        return Vector128.Create<byte>(indices);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private bool Pairs<TSample>(ref byte first, int frames, ref float left, ref float right)
        where TSample : struct, ISample
    {
        nint done = 0;
        nint stride = _stride;
        var isSound = true;
        if (Avx2.IsSupported)
        {
            var shuffle = Vector256.Create(_pairShuffle, _pairShuffle);
            var flip = Vector256.Create(_flip);
            var worst = Vector256<int>.Zero;
            for (; done + 8 <= frames; done += 8)
            {
                ref var at = ref Unsafe.AddByteOffset(ref first, done * stride);
                var a = TwoAndTwo(ref at, stride, shuffle) ^ flip;
                var b = TwoAndTwo(ref Unsafe.AddByteOffset(ref at, 4 * stride), stride, shuffle) ^ flip;
                var l = TSample.ToFloat(Avx2.Permute2x128(a, b, 0x20), ref worst);
                var r = TSample.ToFloat(Avx2.Permute2x128(a, b, 0x31), ref worst);
                l.StoreUnsafe(ref left, (nuint)done);
                r.StoreUnsafe(ref right, (nuint)done);
            }

            isSound = !TSample.IsAbsurd(worst.GetLower()) && !TSample.IsAbsurd(worst.GetUpper());
        }
        else if (Vector128.IsHardwareAccelerated)
        {
            var flip = Vector128.Create(_flip);
            var worst = Vector128<int>.Zero;
            for (; done + 4 <= frames; done += 4)
            {
                ref var at = ref Unsafe.AddByteOffset(ref first, done * stride);
                var a = Vector128.ShuffleNative(Vector128.LoadUnsafe(ref at), _pairShuffle).AsUInt64();
                var b = Vector128
                    .ShuffleNative(Vector128.LoadUnsafe(ref Unsafe.AddByteOffset(ref at, 2 * stride)), _pairShuffle)
                    .AsUInt64();
                var l = Vector128.Create(a.ToScalar(), b.ToScalar()).AsInt32() ^ flip;
                var r = Vector128.Create(a.GetElement(1), b.GetElement(1)).AsInt32() ^ flip;
                TSample.ToFloat(l, ref worst).StoreUnsafe(ref left, (nuint)done);
                TSample.ToFloat(r, ref worst).StoreUnsafe(ref right, (nuint)done);
            }

            isSound = !TSample.IsAbsurd(worst);
        }

        if (done < frames)
        {
            ref var rest = ref Unsafe.AddByteOffset(ref first, done * stride);
            isSound &= Strided(ref rest, _left, MemoryMarshal.CreateSpan(ref Unsafe.Add(ref left, done), (int)(frames - done)));
            isSound &= Strided(ref rest, _right, MemoryMarshal.CreateSpan(ref Unsafe.Add(ref right, done), (int)(frames - done)));
        }

        return isSound;
    }

    /// <summary>Four frames as [L0 L1 L2 L3 | R0 R1 R2 R3], each at the top of 32 bits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<int> TwoAndTwo(ref byte at, nint stride, Vector256<byte> shuffle)
    {
        var bytes = Vector256.Create(Vector128.LoadUnsafe(ref at), Vector128.LoadUnsafe(ref Unsafe.AddByteOffset(ref at, 2 * stride)));
        return Avx2.Permute4x64(Avx2.Shuffle(bytes, shuffle).AsInt64(), 0b11_01_10_00).AsInt32();
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private bool Mono<TSample>(ref byte first, int frames, ref float left)
        where TSample : struct, ISample
    {
        nint done = 0;
        nint bytes = _bytes;
        var isSound = true;
        if (Vector128.IsHardwareAccelerated)
        {
            var flip = Vector128.Create(_flip);
            var worst = Vector128<int>.Zero;
            for (; done + 4 <= frames; done += 4)
            {
                var four = Vector128.LoadUnsafe(ref Unsafe.AddByteOffset(ref first, done * bytes));
                TSample.ToFloat(Vector128.ShuffleNative(four, _monoShuffle).AsInt32() ^ flip, ref worst).StoreUnsafe(ref left, (nuint)done);
            }

            isSound = !TSample.IsAbsurd(worst);
        }

        return (
                done == frames
                || Strided(
                    ref Unsafe.AddByteOffset(ref first, done * bytes),
                    0,
                    MemoryMarshal.CreateSpan(ref Unsafe.Add(ref left, done), (int)(frames - done))
                )
            ) && isSound;
    }

    /// <summary>One channel sample by sample: choices from many channels, the ends of blocks, and machines without vectors.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private bool Strided(ref byte first, int channel, Span<float> destination)
    {
        ref var at = ref Unsafe.AddByteOffset(ref first, (nint)channel * _bytes);
        if (_bytes == 8)
            return StridedDoubles(ref at, destination);
        // Four bytes are read whatever the width: those of a neighbour fall to the low end and are masked off.
        var unused = 4 - _bytes;
        var mask = -1 << (8 * unused);
        at = ref Unsafe.SubtractByteOffset(ref at, _bigEndian ? 0 : unused);
        var isSound = true;
        for (var i = 0; i < destination.Length; i++)
        {
            var sample = Unsafe.ReadUnaligned<int>(ref at);
            if (_bigEndian == BitConverter.IsLittleEndian)
                sample = BinaryPrimitives.ReverseEndianness(sample);
            sample &= mask;
            if (_isFloat)
            {
                destination[i] = BitConverter.Int32BitsToSingle(sample);
                isSound &= Math.Abs(destination[i]) < Absurd;
            }
            else
            {
                destination[i] = (sample ^ _flip) * IntegerScale;
            }

            at = ref Unsafe.AddByteOffset(ref at, (nint)_stride);
        }

        return isSound;
    }

    private bool StridedDoubles(ref byte at, Span<float> destination)
    {
        var isSound = true;
        for (var i = 0; i < destination.Length; i++)
        {
            var bits = Unsafe.ReadUnaligned<long>(ref at);
            if (_bigEndian == BitConverter.IsLittleEndian)
                bits = BinaryPrimitives.ReverseEndianness(bits);
            destination[i] = (float)BitConverter.Int64BitsToDouble(bits);
            isSound &= Math.Abs(destination[i]) < Absurd;
            at = ref Unsafe.AddByteOffset(ref at, (nint)_stride);
        }

        return isSound;
    }

    /// <summary>The last step of a kernel, from 32 bits to a float; a struct, so that each kernel is compiled for its own.</summary>
    private interface ISample
    {
        static abstract Vector256<float> ToFloat(Vector256<int> sample, ref Vector256<int> worst);

        static abstract Vector128<float> ToFloat(Vector128<int> sample, ref Vector128<int> worst);

        static abstract bool IsAbsurd(Vector128<int> worst);
    }

    private readonly struct TopInteger : ISample
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Vector256<float> ToFloat(Vector256<int> sample, ref Vector256<int> worst) =>
            Vector256.ConvertToSingle(sample) * IntegerScale;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Vector128<float> ToFloat(Vector128<int> sample, ref Vector128<int> worst) =>
            Vector128.ConvertToSingle(sample) * IntegerScale;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static bool IsAbsurd(Vector128<int> worst) => false;
    }

    /// <summary>Magnitudes of IEEE numbers order like their bits as integers, NaN and infinity above all.</summary>
    private readonly struct FloatBits : ISample
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Vector256<float> ToFloat(Vector256<int> sample, ref Vector256<int> worst)
        {
            worst = Vector256.Max(worst, sample & Vector256.Create(int.MaxValue));
            return sample.AsSingle();
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Vector128<float> ToFloat(Vector128<int> sample, ref Vector128<int> worst)
        {
            worst = Vector128.Max(worst, sample & Vector128.Create(int.MaxValue));
            return sample.AsSingle();
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static bool IsAbsurd(Vector128<int> worst) =>
            Vector128.GreaterThanOrEqualAny(worst, Vector128.Create(BitConverter.SingleToInt32Bits(Absurd)));
    }
}
