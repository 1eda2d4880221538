using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>The samples of one FLAC block, all channels, as integers.</summary>
internal sealed class FlacBlock
{
    private readonly FlacStreamInfo _info;
    private readonly int[][] _samples;
    private long[] _wide = [];
    private int _frames;

    public FlacBlock(FlacStreamInfo info)
    {
        _info = info;
        _samples = [.. Enumerable.Repeat(Array.Empty<int>(), info.Channels)];
    }

    /// <summary>Why the last block could not be decoded.</summary>
    public string Fault { get; private set; } = "";

    /// <summary>One channel's samples.</summary>
    /// <param name="channel">From 0.</param>
    public ReadOnlySpan<int> Channel(int channel) => _samples[channel].AsSpan(FlacSubframe.History, _frames);

    /// <summary>Decodes what follows a block's head, and holds it against its checksum; false when broken or out of bits.</summary>
    public bool Decode(ref FlacBits bits, FlacFrameHeader header, byte[] data, int start)
    {
        MakeRoom(header);
        Fault = "a block's coding is broken";
        for (var channel = 0; channel < _info.Channels; channel++)
        {
            var isSide =
                header.Assignment == FlacFrameHeader.SideRight
                    ? channel == 0
                    : header.Assignment >= FlacFrameHeader.LeftSide && channel == 1;
            var samples = _samples[channel].AsSpan(0, FlacSubframe.History + _frames);
            var isGood = isSide && _info.Bits == 32
                ? FlacSubframe.DecodeWide(ref bits, samples[FlacSubframe.History..], _wide.AsSpan(0, _frames))
                : FlacSubframe.Decode(ref bits, _info.Bits + (isSide ? 1 : 0), samples);
            if (!isGood)
                return false;
        }

        if (!bits.AlignToByte())
            return false;
        var end = bits.BytePosition;
        var crc = bits.Read(16);
        if (bits.RanOut)
            return false;
        Fault = "the checksum of a block is wrong";
        if (FlacChecksums.Crc16(data.AsSpan(start, end - start)) != crc)
            return false;
        Fault = "";
        if (header.Assignment >= FlacFrameHeader.LeftSide)
            Decorrelate(header.Assignment);
        return true;
    }

    private void MakeRoom(FlacFrameHeader header)
    {
        _frames = header.BlockFrames;
        if (_samples[0].Length < _frames + FlacSubframe.History)
        {
            for (var channel = 0; channel < _samples.Length; channel++)
                _samples[channel] = new int[_frames + FlacSubframe.History];
        }

        if (_info.Bits == 32 && header.Assignment >= FlacFrameHeader.LeftSide && _wide.Length < _frames)
            _wide = new long[_frames];
    }

    private void Decorrelate(int assignment)
    {
        var first = _samples[0].AsSpan(FlacSubframe.History, _frames);
        var second = _samples[1].AsSpan(FlacSubframe.History, _frames);
        if (_info.Bits == 32)
            DecorrelateWide(assignment, first, second, _wide.AsSpan(0, _frames));
        else
            DecorrelateNarrow(assignment, first, second);
    }

    /// <summary>[RFC9639:2024] 4.2: side is left minus right; mid is half their sum, its lost lowest bit being side's.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void DecorrelateNarrow(int assignment, Span<int> first, Span<int> second)
    {
        var i = 0;
        for (; i <= first.Length - Vector<int>.Count; i += Vector<int>.Count)
        {
            var a = new Vector<int>(first[i..]);
            var b = new Vector<int>(second[i..]);
            if (assignment == FlacFrameHeader.LeftSide)
            {
                (a - b).CopyTo(second[i..]);
            }
            else if (assignment == FlacFrameHeader.SideRight)
            {
                (a + b).CopyTo(first[i..]);
            }
            else
            {
                var sum = (a << 1) | (b & Vector<int>.One);
                ((sum + b) >> 1).CopyTo(first[i..]);
                ((sum - b) >> 1).CopyTo(second[i..]);
            }
        }

        for (; i < first.Length; i++)
        {
            int a = first[i], b = second[i];
            (first[i], second[i]) = assignment switch
            {
                FlacFrameHeader.LeftSide => (a, a - b),
                FlacFrameHeader.SideRight => (a + b, b),
                _ => (((a << 1 | (b & 1)) + b) >> 1, ((a << 1 | (b & 1)) - b) >> 1),
            };
        }
    }

    private static void DecorrelateWide(int assignment, Span<int> first, Span<int> second, ReadOnlySpan<long> side)
    {
        for (var i = 0; i < first.Length; i++)
        {
            var sum = ((long)first[i] << 1) | (side[i] & 1);
            (first[i], second[i]) = assignment switch
            {
                FlacFrameHeader.LeftSide => (first[i], (int)(first[i] - side[i])),
                FlacFrameHeader.SideRight => ((int)(side[i] + second[i]), second[i]),
                _ => ((int)((sum + side[i]) >> 1), (int)((sum - side[i]) >> 1)),
            };
        }
    }

    /// <summary>Writes frames as interleaved little-endian bytes, each sample in whole bytes [RFC9639:2024] 8.2.</summary>
    /// <param name="frames">How many of the block's.</param>
    /// <param name="destination">Takes them, with four bytes to spare.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Pack(int frames, Span<byte> destination)
    {
        var bytes = (_info.Bits + 7) / 8;
        if (_info.Channels == 2 && bytes is 2 or 3)
        {
            PackPairs(Channel(0)[..frames], Channel(1)[..frames], 8 * bytes, destination);
            return;
        }

        for (var channel = 0; channel < _info.Channels; channel++)
        {
            var at = bytes * channel;
            foreach (var sample in Channel(channel)[..frames])
            {
                for (var b = 0; b < bytes; b++)
                    destination[at + b] = (byte)(sample >> (8 * b));
                at += bytes * _info.Channels;
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void PackPairs(ReadOnlySpan<int> left, ReadOnlySpan<int> right, int width, Span<byte> destination)
    {
        var mask = (1u << width) - 1;
        var stride = width / 4;
        for (var i = 0; i < left.Length; i++)
        {
            // What is written beyond the pair is written over by the next.
            BinaryPrimitives.WriteUInt64LittleEndian(destination, ((uint)left[i] & mask) | ((ulong)((uint)right[i] & mask) << width));
            destination = destination[stride..];
        }
    }
}
