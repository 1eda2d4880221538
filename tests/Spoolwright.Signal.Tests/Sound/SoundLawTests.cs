using CsCheck;
using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>What holds for every reader, whatever the file.</summary>
public class SoundLawTests
{
    public static TheoryData<string> Kinds => [.. Files(400).Keys];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Reader_AskedForAnyBlocks_DeliversTheSameSamples(string kind)
    {
        var file = Files(1500)[kind];
        using var whole = Open(file);
        var (left, right) = All(whole, 4096);
        Assert.Equal(whole.Frames, left.Length);
        Gen.Int[1, 700].Array[1, 6].Sample(
            blocks =>
            {
                using var reader = Open(file);
                var (l, r) = All(reader, blocks);
                Assert.Equal(left, l);
                Assert.Equal(right, r);
            },
            iter: 40);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Reader_InItsStride_AllocatesNothing(string kind)
    {
        using var reader = Open(Files(30_000)[kind]);
        float[] left = new float[500], right = new float[500];
        for (var block = 0; block < 20; block++)
            Assert.Equal(500, reader.Read(left, right));
        var frames = 0;
        Assert.Equal(0, Allocated.Bytes(() =>
        {
            for (var block = 0; block < 8; block++)
                frames += reader.Read(left, right);
        }));
        Assert.Equal(20_000, frames);
        while (reader.Read(left, right) == 500)
        {
            // On to the end: one kind is twice as long.
        }

        Assert.Equal(0, reader.Read(left, right));
        Assert.Empty(reader.Notes);
    }

    [Fact]
    public void Reader_GivenTooLittleRoom_Refuses()
    {
        using var reader = Open(Files(100)["wav 24"]);
        Assert.Throws<ArgumentException>(() => reader.Read(new float[10], new float[9]));
        Assert.Throws<ArgumentException>(() => SoundFile.Open(new OneWayStream()));
    }

    private static Dictionary<string, byte[]> Files(int frames)
    {
        var noise = Noise(2 * frames, 7);
        var floats = noise.Select(s => s * (1f / (1L << 31))).ToArray();
        long[][] channels = [.. Enumerable.Range(0, 2).Select(c => noise.Where((_, i) => i % 2 == c).Select(s => (long)s >> 16).ToArray())];
        return new()
        {
            ["wav 8"] = Wav(Format(1, 2, 48000, 8), Integers(noise, 1, isUnsigned: true)),
            ["wav 16"] = Wav(Format(1, 2, 48000, 16), Integers(noise, 2)),
            ["wav 24"] = Wav(Format(1, 2, 96000, 24), Integers(noise, 3)),
            ["wav 24 mono"] = Wav(Format(1, 1, 96000, 24), Integers(noise, 3)),
            ["wav 24 four channels"] = Wav(Format(1, 4, 96000, 24), Integers(noise.Concat(noise), 3)),
            ["wav float"] = Wav(Format(3, 2, 96000, 32), Floats(floats)),
            ["wav double"] = Wav(Format(3, 2, 96000, 64), Doubles(floats.Select(f => (double)f))),
            ["bw64"] = Wav64("BW64", Format(1, 2, 96000, 32), Integers(noise, 4)),
            ["aiff 16"] = Aiff(2, 44100, 16, Integers(noise, 2, bigEndian: true)),
            ["aifc float"] = Aiff(2, 44100, 32, Floats(floats, bigEndian: true), "fl32"),
            ["flac"] = FlacBytes.File(channels, 16, 96000, 256, FlacBytes.Kind.Fixed, 1, assignment: 10),
        };
    }

    private sealed class OneWayStream : MemoryStream
    {
        public override bool CanSeek => false;
    }
}
