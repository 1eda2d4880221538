namespace Spoolwright.Signal.Sound.Flac;

/// <summary>The head of one FLAC frame [RFC9639:2024] 9.1.</summary>
/// <param name="IsVariable">True when <paramref name="Number"/> counts sound frames, false when it counts blocks.</param>
/// <param name="Number">The block's place in the stream.</param>
/// <param name="BlockFrames">Sound frames in the block, 1 to 65536.</param>
/// <param name="Assignment">How channels are coded: 0 to 7 plain, 8 left and side, 9 side and right, 10 mid and side.</param>
internal readonly record struct FlacFrameHeader(bool IsVariable, long Number, int BlockFrames, int Assignment)
{
    public const int LeftSide = 8;
    public const int SideRight = 9;
    public const int MidSide = 10;

    private static ReadOnlySpan<int> Rates => [0, 88200, 176400, 192000, 8000, 16000, 22050, 24000, 32000, 44100, 48000, 96000];

    private static ReadOnlySpan<byte> Widths => [0, 8, 12, 0, 16, 20, 24, 32];

    /// <summary>Reads a head; null, with the reason, when it is broken or contradicts the stream's own information.</summary>
    public static FlacFrameHeader? Read(ref FlacBits bits, byte[] data, int start, FlacStreamInfo info, out string fault)
    {
        var sync = bits.Read(15);
        var isVariable = bits.Read(1) == 1;
        var blockCode = (int)bits.Read(4);
        var rateCode = (int)bits.Read(4);
        var assignment = (int)bits.Read(4);
        var widthCode = (int)bits.Read(3);
        var reserved = bits.Read(1);
        if (sync != 0x7FFC || reserved != 0)
            return Fault("no block begins where one must", out fault);
        var number = ReadNumber(ref bits);
        var block = blockCode switch
        {
            0 => 0,
            1 => 192,
            < 6 => 144 << blockCode,
            6 => (int)bits.Read(8) + 1,
            7 => (int)bits.Read(16) + 1,
            _ => 1 << blockCode,
        };
        var rate = rateCode switch
        {
            0 => info.SampleRateHz,
            < 12 => Rates[rateCode],
            12 => (int)bits.Read(8) * 1000,
            13 => (int)bits.Read(16),
            14 => (int)bits.Read(16) * 10,
            _ => -1,
        };
        var end = bits.BytePosition;
        var crc = bits.Read(8);
        if (bits.RanOut)
            return Fault("", out fault);
        if (FlacChecksums.Crc8(data.AsSpan(start, end - start)) != crc)
            return Fault("the checksum of a block's head is wrong", out fault);
        if (number < 0 || block == 0 || assignment > MidSide)
            return Fault("a block's head is broken", out fault);
        var channels = assignment < LeftSide ? assignment + 1 : 2;
        var width = widthCode == 0 ? info.Bits : Widths[widthCode];
        if (rate != info.SampleRateHz || channels != info.Channels || width != info.Bits || block > info.MostBlockFrames)
            return Fault("rate, channels, bits or block length change within the file", out fault);
        fault = "";
        return new FlacFrameHeader(isVariable, number, block, assignment);
    }

    /// <summary>A number in the manner of UTF-8, up to 36 bits; negative when broken.</summary>
    private static long ReadNumber(ref FlacBits bits)
    {
        var first = bits.Read(8);
        if (first < 0x80)
            return first;
        var more = 0;
        while (more < 7 && (first & (0x40u >> more)) != 0)
            more++;
        if (more is < 1 or > 6)
            return -1;
        long number = first & (0x3Fu >> more);
        for (var i = 0; i < more; i++)
        {
            var next = bits.Read(8);
            if ((next & 0xC0) != 0x80)
                return -1;
            number = (number << 6) | (next & 0x3F);
        }

        return number;
    }

    private static FlacFrameHeader? Fault(string what, out string fault)
    {
        fault = what;
        return null;
    }
}
