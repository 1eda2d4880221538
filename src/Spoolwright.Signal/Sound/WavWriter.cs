using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Spoolwright.Signal.Sound;

/// <summary>How <see cref="WavWriter"/> writes a sample.</summary>
public enum WavSamples
{
    /// <summary>Integers of 16 bits.</summary>
    Integer16,

    /// <summary>Integers of 24 bits.</summary>
    Integer24,

    /// <summary>IEEE numbers of 32 bits, as they are.</summary>
    Float32,
}

/// <summary>
/// Writes a WAV file block by block. The header is made right on dispose; past 4 GiB the file becomes RF64 [EBU3306:2009],
/// for which room is kept from the start.
/// </summary>
public sealed class WavWriter : IDisposable
{
    private const int BlockFrames = 4096;
    private const int SizesChunk = 28;

    private readonly Stream _stream;
    private readonly bool _leaveOpen;
    private readonly WavSamples _samples;
    private readonly int _channels;
    private readonly int _sampleRateHz;
    private readonly int _bytes;
    private readonly byte[] _buffer;
    private readonly long _start;
    private readonly Dither? _dither;
    private bool _isDisposed;

    /// <param name="stream">Takes the file from its present position on; seekable.</param>
    /// <param name="sampleRateHz">Frames per second, 1 or more.</param>
    /// <param name="channels">1 or 2.</param>
    /// <param name="samples">How samples are written.</param>
    /// <param name="ditherSeed">With a seed, integers get triangular dither of two steps' width; the same seed makes the same file.</param>
    /// <param name="leaveOpen">True to leave the stream to the caller.</param>
    /// <exception cref="ArgumentException">The stream cannot be written or sought, or an argument is outside its range.</exception>
    public WavWriter(Stream stream, int sampleRateHz, int channels, WavSamples samples, int? ditherSeed = null, bool leaveOpen = false)
    {
        ArgumentNullException.ThrowIfNull(stream);
        if (!stream.CanWrite || !stream.CanSeek)
            throw new ArgumentException("The stream must be writable and seekable.", nameof(stream));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        ArgumentOutOfRangeException.ThrowIfLessThan(channels, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(channels, 2);
        _bytes = samples switch
        {
            WavSamples.Integer16 => 2,
            WavSamples.Integer24 => 3,
            WavSamples.Float32 => 4,
            _ => throw new ArgumentOutOfRangeException(nameof(samples), samples, "Unknown way to write samples."),
        };
        _stream = stream;
        _leaveOpen = leaveOpen;
        _samples = samples;
        _channels = channels;
        _sampleRateHz = sampleRateHz;
        _buffer = new byte[BlockFrames * channels * _bytes];
        _dither = ditherSeed is { } seed && samples != WavSamples.Float32 ? new Dither(seed) : null;
        _start = stream.Position;
        WriteHeader();
    }

    /// <summary>Frames written.</summary>
    public long Frames { get; private set; }

    /// <summary>Samples that lay beyond full scale and were set to it (integers only).</summary>
    public long ClippedSamples { get; private set; }

    /// <summary>Writes the next frames.</summary>
    /// <param name="left">Left (or only) channel, full scale ±1.</param>
    /// <param name="right">Right channel, as long; not looked at when there is one channel.</param>
    /// <exception cref="ArgumentException">The channels differ in length, or a sample is not a number.</exception>
    public void Write(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        ObjectDisposedException.ThrowIf(_isDisposed, this);
        if (_channels == 2 && left.Length != right.Length)
            throw new ArgumentException($"The right block holds {right.Length} samples, the left {left.Length}.", nameof(right));
        for (var done = 0; done < left.Length;)
        {
            var frames = Math.Min(BlockFrames, left.Length - done);
            Place(left.Slice(done, frames), 0);
            if (_channels == 2)
                Place(right.Slice(done, frames), 1);
            _stream.Write(_buffer, 0, frames * _channels * _bytes);
            Frames += frames;
            done += frames;
        }
    }

    /// <summary>Makes the header right and lets the stream go.</summary>
    public void Dispose()
    {
        if (_isDisposed)
            return;
        _isDisposed = true;
        if ((Frames * _channels * _bytes & 1) != 0)
            _stream.WriteByte(0);
        var end = _stream.Position;
        _stream.Position = _start;
        WriteHeader();
        _stream.Position = end;
        if (_leaveOpen)
            _stream.Flush();
        else
            _stream.Dispose();
    }

    private void Place(ReadOnlySpan<float> samples, int channel)
    {
        MustBeFinite(samples);
        if (_samples != WavSamples.Float32)
        {
            PlaceIntegers(samples, channel * _bytes);
            return;
        }

        var interleaved = MemoryMarshal.Cast<byte, float>(_buffer.AsSpan());
        if (_channels == 1)
        {
            samples.CopyTo(interleaved);
            return;
        }

        for (var i = 0; i < samples.Length; i++)
            interleaved[(2 * i) + channel] = samples[i];
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void PlaceIntegers(ReadOnlySpan<float> samples, int at)
    {
        var stride = _channels * _bytes;
        var scale = _samples == WavSamples.Integer16 ? 1 << 15 : 1 << 23;
        foreach (var sample in samples)
        {
            var value = Math.Round(((double)sample * scale) + (_dither?.Next() ?? 0));
            if (value < -scale || value > scale - 1)
            {
                ClippedSamples++;
                value = Math.Clamp(value, -scale, scale - 1);
            }

            var integer = (int)value;
            BinaryPrimitives.WriteInt16LittleEndian(_buffer.AsSpan(at), (short)integer);
            if (_bytes == 3)
                _buffer[at + 2] = (byte)(integer >> 16);
            at += stride;
        }
    }

    /// <summary>Magnitudes of IEEE numbers order like their bits as integers, infinity and NaN above all.</summary>
    private static void MustBeFinite(ReadOnlySpan<float> samples)
    {
        var bits = MemoryMarshal.Cast<float, int>(samples);
        var worst = Vector<int>.Zero;
        var i = 0;
        for (; i <= bits.Length - Vector<int>.Count; i += Vector<int>.Count)
            worst = Vector.Max(worst, new Vector<int>(bits[i..]) & new Vector<int>(int.MaxValue));
        var isFinite = !Vector.GreaterThanOrEqualAny(worst, new Vector<int>(BitConverter.SingleToInt32Bits(float.PositiveInfinity)));
        for (; i < samples.Length; i++)
            isFinite &= float.IsFinite(samples[i]);
        if (!isFinite)
            throw new ArgumentException("A sample is not a number or infinite; only finite numbers can be written.", nameof(samples));
    }

    private void WriteHeader()
    {
        var isFloat = _samples == WavSamples.Float32;
        var data = Frames * _channels * _bytes;
        // The format chunk of anything but integers carries the size of its (empty) extension, and a fact chunk follows.
        var format = isFloat ? 18 : 16;
        var header = 12 + 8 + SizesChunk + 8 + format + (isFloat ? 12 : 0) + 8;
        var riff = header - 8 + data + (data & 1);
        var isLong = riff > uint.MaxValue;
        using var bytes = new MemoryStream(header);
        using var w = new BinaryWriter(bytes);
        w.Write(isLong ? "RF64"u8 : "RIFF"u8);
        w.Write(isLong ? uint.MaxValue : (uint)riff);
        w.Write("WAVE"u8);
        w.Write(isLong ? "ds64"u8 : "JUNK"u8);
        w.Write(SizesChunk);
        w.Write(isLong ? riff : 0);
        w.Write(isLong ? data : 0);
        w.Write(isLong ? Frames : 0);
        w.Write(0);
        w.Write("fmt "u8);
        w.Write(format);
        w.Write((ushort)(isFloat ? 3 : 1));
        w.Write((ushort)_channels);
        w.Write(_sampleRateHz);
        w.Write(_sampleRateHz * _channels * _bytes);
        w.Write((ushort)(_channels * _bytes));
        w.Write((ushort)(8 * _bytes));
        if (isFloat)
        {
            w.Write((ushort)0);
            w.Write("fact"u8);
            w.Write(4);
            w.Write((uint)Math.Min(Frames, uint.MaxValue));
        }

        w.Write("data"u8);
        w.Write(isLong ? uint.MaxValue : (uint)data);
        _stream.Write(bytes.GetBuffer(), 0, header);
    }

    /// <summary>Noise of triangular distribution, two steps wide: makes the rounding error's mean and power the same for every
    /// sound.</summary>
    private sealed class Dither(int seed)
    {
        private ulong _state = (ulong)(uint)seed;

        public double Next() => Uniform() + Uniform() - 1;

        /// <summary>A counter through a 64-bit mixer: the same on every machine and runtime.</summary>
        private double Uniform()
        {
            _state += 0x9E37_79B9_7F4A_7C15;
            var z = (_state ^ (_state >> 30)) * 0xBF58_476D_1CE4_E5B9;
            z = (z ^ (z >> 27)) * 0x94D0_49BB_1331_11EB;
            return ((z ^ (z >> 31)) >> 11) * (1.0 / (1L << 53));
        }
    }
}
