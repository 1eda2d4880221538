using System.Security.Cryptography;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>
/// FLAC files written bit by bit for the tests, for what the usual encoder never writes: escaped partitions, idle bits on request,
/// every stereo coding, 36-bit block numbers, narrow samples. Slow and plain; the samples are true integers, not at the top of 32 bits.
/// </summary>
internal sealed class FlacBytes
{
    private readonly List<bool> _bits = [];

    public enum Kind { Constant, Verbatim, Fixed, FixedEscaped, Linear }

    /// <summary>A whole file of equal blocks.</summary>
    public static byte[] File(
        long[][] channels, int bits, int rate, int block, Kind kind, int order = 2, int assignment = -1, int wasted = 0,
        bool isVariable = false, bool hasMd5 = true, long firstNumber = 0, long? frames = null)
    {
        var total = channels[0].Length;
        var info = new FlacBytes();
        info.Put((ulong)block, 16).Put((ulong)block, 16).Put(0, 24).Put(0, 24)
            .Put((ulong)rate, 20).Put((ulong)channels.Length - 1, 3).Put((ulong)bits - 1, 5).Put((ulong)(frames ?? total), 36);
        var md5 = hasMd5 ? Digest(channels, bits) : new byte[16];
        List<byte> file = [.. "fLaC"u8, 0, 0, 0, 34, .. info.Bytes(), .. md5, 0x81, 0, 0, 5, 1, 2, 3, 4, 5];
        var number = firstNumber;
        for (var at = 0; at < total; at += block)
        {
            var length = Math.Min(block, total - at);
            file.AddRange(
                Frame([.. channels.Select(c => c[at..(at + length)])], bits, number, kind, order, assignment, wasted, isVariable)
            );
            number += isVariable ? length : 1;
        }

        return [.. file];
    }

    /// <summary>
    /// Makes a broken file's block checksums right again: those of the heads where a block's first bytes stand, and those of whole blocks
    /// as far as they lie where they lay in the sound file.
    /// </summary>
    public static void MakeChecksumsRight(byte[] broken, byte[] whole)
    {
        if (!whole.AsSpan().StartsWith("fLaC"u8))
            return;
        List<int> starts = [];
        for (var i = 51; i + 8 < whole.Length; i++)
        {
            // Heads written by this class: seven bytes with a one-byte block number, then their checksum.
            if (whole[i] == 0xFF && whole[i + 1] == 0xF8 && Remainder(whole[i..(i + 7)], 8, 0x07) == whole[i + 7])
                starts.Add(i);
        }

        starts.Add(whole.Length);
        for (var b = 0; b + 1 < starts.Count && starts[b + 1] <= broken.Length; b++)
        {
            var (start, end) = (starts[b], starts[b + 1]);
            broken[start + 7] = (byte)Remainder(broken[start..(start + 7)], 8, 0x07);
            var crc = Remainder(broken[start..(end - 2)], 16, 0x8005);
            (broken[end - 2], broken[end - 1]) = ((byte)(crc >> 8), (byte)crc);
        }
    }

    private static byte[] Frame(
        long[][] channels, int bits, long number, Kind kind, int order, int assignment, int wasted, bool isVariable)
    {
        var frame = new FlacBytes();
        var length = channels[0].Length;
        frame.Put(0x7FFC, 15).Put(isVariable ? 1u : 0, 1).Put(7, 4).Put(0, 4)
            .Put((ulong)(assignment < 0 ? channels.Length - 1 : assignment), 4).Put(0, 3).Put(0, 1);
        frame.PutNumber(number).Put((ulong)length - 1, 16);
        frame.Put(Remainder(frame.Bytes(), 8, 0x07), 8);
        var side = assignment >= 8 ? channels[0].Zip(channels[1], (l, r) => l - r).ToArray() : [];
        long[][] coded = assignment switch
        {
            8 => [channels[0], side],
            9 => [side, channels[1]],
            10 => [[.. channels[0].Zip(channels[1], (l, r) => (l + r) >> 1)], side],
            _ => channels,
        };
        for (var c = 0; c < coded.Length; c++)
            frame.PutSubframe(coded[c], bits + (coded[c] == side ? 1 : 0), kind, order, wasted);
        while (frame._bits.Count % 8 != 0)
            frame._bits.Add(false);
        frame.Put(Remainder(frame.Bytes(), 16, 0x8005), 16);
        return frame.Bytes();
    }

    private void PutSubframe(long[] samples, int width, Kind kind, int order, int wasted)
    {
        if (kind == Kind.Constant && samples.Distinct().Count() > 1)
            kind = Kind.Verbatim;
        if (samples.Length < order && kind >= Kind.Fixed)
            kind = Kind.Verbatim;
        var type = kind switch { Kind.Constant => 0, Kind.Verbatim => 1, Kind.Linear => 31 + order, _ => 8 + order };
        Put(0, 1).Put((ulong)type, 6).Put(wasted > 0 ? 1u : 0, 1);
        if (wasted > 0)
            Put(1, wasted);
        samples = [.. samples.Select(s => s >> wasted)];
        width -= wasted;
        var plain = kind switch { Kind.Constant => 1, Kind.Verbatim => samples.Length, _ => order };
        foreach (var sample in samples[..plain])
            Put((ulong)sample, width);
        if (kind is Kind.Constant or Kind.Verbatim)
            return;
        // Weights in sixteenths for the linear predictor: of the latest sample 20, of those before -4, 1, -4, 1...
        long[] weights = kind == Kind.Linear
            ? [.. Enumerable.Range(0, order).Select(j => j == 0 ? 20L : j % 2 == 1 ? -4 : 1)]
            : order switch { 0 => [], 1 => [1], 2 => [2, -1], 3 => [3, -3, 1], _ => [4, -6, 4, -1] };
        if (kind == Kind.Linear)
        {
            Put(6 - 1, 4).Put(4, 5);
            foreach (var weight in weights)
                Put((ulong)weight, 6);
        }

        var shift = kind == Kind.Linear ? 4 : 0;
        var residuals = Enumerable
            .Range(order, samples.Length - order)
            .Select(i => samples[i] - (weights.Select((w, j) => w * samples[i - 1 - j]).Sum() >> shift))
            .ToArray();
        PutResiduals(
            residuals,
            samples.Length % 4 == 0 && samples.Length / 4 >= order ? 2 : 0,
            samples.Length,
            order,
            kind == Kind.FixedEscaped
        );
    }

    private void PutResiduals(long[] residuals, int partitionOrder, int length, int order, bool isEscaped)
    {
        Put(1, 2).Put((ulong)partitionOrder, 4);
        var at = 0;
        for (var p = 0; p < 1 << partitionOrder; p++)
        {
            var count = (length >> partitionOrder) - (p == 0 ? order : 0);
            var part = residuals[at..(at + count)];
            at += count;
            if (isEscaped)
            {
                var width = part.All(r => r == 0) ? 0 : part.Max(r => 65 - (int)long.LeadingZeroCount(r < 0 ? ~r : r));
                Put(31, 5).Put((ulong)width, 5);
                foreach (var r in part)
                    Put((ulong)r, width);
                continue;
            }

            var folded = part.Select(r => (ulong)((r << 1) ^ (r >> 63))).ToArray();
            var mean = folded.Length == 0 ? 0 : folded.Average(f => (double)f);
            // One too small, so that long runs of zeros occur.
            var parameter = Math.Clamp((int)Math.Log2(mean + 1) - 2, 0, 30);
            Put((ulong)parameter, 5);
            foreach (var f in folded)
            {
                for (var q = f >> parameter; q > 0; q--)
                    _bits.Add(false);
                Put(1, 1).Put(f, parameter);
            }
        }
    }

    private FlacBytes PutNumber(long number)
    {
        if (number < 0x80)
            return Put((ulong)number, 8);
        var more = 1;
        while (number >> (6 * more) >= 1 << (6 - more))
            more++;
        Put(((0xFF00u >> (more + 1)) & 0xFF) | (uint)(number >> (6 * more)), 8);
        for (var i = more - 1; i >= 0; i--)
            Put(0x80 | ((ulong)(number >> (6 * i)) & 0x3F), 8);
        return this;
    }

    private FlacBytes Put(ulong value, int count)
    {
        for (var i = count - 1; i >= 0; i--)
            _bits.Add((value >> i & 1) != 0);
        return this;
    }

    private byte[] Bytes() => [.. _bits.Chunk(8).Select(b => (byte)b.Aggregate(0, (a, bit) => (a << 1) | (bit ? 1 : 0)))];

    private static byte[] Digest(long[][] channels, int bits)
    {
        var bytes = Enumerable.Range(0, channels[0].Length)
            .SelectMany(i => channels.SelectMany(c => SoundBytes.Le((ulong)c[i], (bits + 7) / 8)));
#pragma warning disable CA5351 // The format prescribes it.
        return MD5.HashData([.. bytes]);
#pragma warning restore CA5351
    }

    /// <summary>The remainder of a division of polynomials, bit by bit.</summary>
    private static ulong Remainder(byte[] bytes, int width, uint polynomial)
    {
        uint crc = 0;
        foreach (var b in bytes)
        {
            for (var bit = 7; bit >= 0; bit--)
            {
                var carry = (crc >> (width - 1) & 1) ^ ((uint)b >> bit & 1);
                crc = ((crc << 1) ^ (carry * polynomial)) & ((1u << width) - 1);
            }
        }

        return crc;
    }
}
