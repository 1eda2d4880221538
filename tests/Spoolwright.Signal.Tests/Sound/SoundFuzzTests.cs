using System.Diagnostics;
using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>
/// Broken files of every kind: bits flipped, numbers replaced by extreme ones, pieces cut out, doubled or swapped between files, ends cut
/// off, and FLAC blocks whose checksums were made right again afterwards, so that the decoder behind them is reached.
/// </summary>
public class SoundFuzzTests
{
    private const int InputsPerSeed = 13_000;

    /// <summary>A broken FLAC file of a kilobyte may well be minutes of silence; reading stops here.</summary>
    private const int MostFrames = 20_000;

    private static readonly uint[] s_extremes =
        [0, 1, 2, 7, 8, 0x7F, 0x80, 0xFF, 0x7FFF, 0x8000, 0xFFFF, 0x7FFF_FFFF, 0x8000_0000, 0xFFFF_FFFE, 0xFFFF_FFFF];

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(7)]
    [InlineData(8)]
    public void Reader_OfBrokenFiles_RefusesOrReadsFiniteSoundInBoundedTimeAndMemory(int seed)
    {
        var random = new Random(seed);
        var files = Files();
        var refused = 0;
        var reached = new HashSet<string>(StringComparer.Ordinal);
        var slowest = TimeSpan.Zero;
        for (var input = 0; input < InputsPerSeed; input++)
        {
            var file = Break(files, random);
            var pair = random.Next(4) switch { 0 => ChannelPair.Single(1), 1 => new ChannelPair(2, 1), _ => (ChannelPair?)null };
            var memory = GC.GetAllocatedBytesForCurrentThread();
            var watch = Stopwatch.StartNew();
            try
            {
                ReadAll(file, pair);
            }
            catch (CannotMeasureException e)
            {
                refused++;
                reached.Add(e.Code == "damaged" ? e.Message.Split(": ")[1].Split('.')[0] : e.Code);
                Assert.True(
                    e.Code.Length > 0 && !e.Message.Contains('\n', StringComparison.Ordinal),
                    $"seed {seed}, input {input}: {e.Message}"
                );
            }
            catch (ArgumentOutOfRangeException e) when (e.ParamName == "channels")
            {
                refused++;
            }
            catch (Exception e) when (e is not Xunit.Sdk.XunitException)
            {
                Assert.Fail($"seed {seed}, input {input} of {file.Length} bytes: {e}");
            }

            // Four full blocks of the most channels, at worst.
            var used = GC.GetAllocatedBytesForCurrentThread() - memory;
            Assert.True(used < 8_000_000, $"seed {seed}, input {input} of {file.Length} bytes took {used} bytes of memory.");
            slowest = watch.Elapsed > slowest ? watch.Elapsed : slowest;
        }

        // Generous, for a busy machine; the usual input takes a fraction of a millisecond.
        Assert.True(slowest < TimeSpan.FromSeconds(3), $"seed {seed}: one input took {slowest}.");
        Assert.InRange(refused, InputsPerSeed / 20, InputsPerSeed * 19 / 20);
        // The strokes really get behind the first checks.
        Assert.Superset(
            new HashSet<string>
            {
                "header", "no-data", "no-sound", "sample-rate", "channels", "compressed", "block-align", "encoding", "not-sound",
                "a block's coding is broken", "a block's head is broken", "the checksum of a block is wrong",
                "the checksum of a block's head is wrong", "no block begins where one must",
                "rate, channels, bits or block length change within the file",
            },
            reached);
    }

    private static void ReadAll(byte[] file, ChannelPair? pair)
    {
        using var reader = SoundFile.Open(new MemoryStream(file), pair);
        float[] left = new float[1000], right = new float[1000];
        long total = 0;
        for (int frames; total < MostFrames && (frames = reader.Read(left, right)) > 0; total += frames)
        {
            Assert.InRange(frames, 1, 1000);
            for (var i = 0; i < frames; i++)
                Assert.True(
                    float.IsFinite(left[i]) && (reader.Channels == 1 || float.IsFinite(right[i])),
                    $"frame {total + i} is {left[i]}, {right[i]}"
                );
        }

        Assert.True(reader.Frames is null || total <= reader.Frames);
        Assert.All(
            reader.Notes,
            n => Assert.True(n.Code.Length > 0 && n.Text.EndsWith('.') && !n.Text.Contains("NaN", StringComparison.Ordinal), n.Text)
        );
    }

    private static byte[] Break(byte[][] files, Random random)
    {
        var whole = files[random.Next(files.Length)];
        var file = whole.ToList();
        for (var times = random.Next(1, 5); times > 0 && file.Count > 0; times--)
        {
            // Three of four strokes fall on the header, where the lies are.
            var at = random.Next(random.Next(4) == 0 ? file.Count : Math.Min(110, file.Count));
            switch (random.Next(8))
            {
                case 0:
                    file.RemoveRange(at, file.Count - at);
                    break;
                case 1:
                    file.RemoveRange(at, Math.Min(random.Next(1, 40), file.Count - at));
                    break;
                case 2:
                    file.InsertRange(at, file.GetRange(at, Math.Min(random.Next(1, 40), file.Count - at)));
                    break;
                case 3:
                    var other = files[random.Next(files.Length)];
                    for (var i = 0; i < 16 && at + i < Math.Min(file.Count, other.Length); i++)
                        file[at + i] = other[at + i];
                    break;
                case 4 or 5:
                    var extreme = s_extremes[random.Next(s_extremes.Length)];
                    var bytes = random.Next(2) == 0 ? Le(extreme, random.Next(1, 5)) : Be(extreme, random.Next(1, 5));
                    for (var i = 0; i < bytes.Length && at + i < file.Count; i++)
                        file[at + i] = bytes[i];
                    break;
                default:
                    file[at] ^= (byte)(1 << random.Next(8));
                    break;
            }
        }

        byte[] broken = [.. file];
        if (random.Next(2) == 0)
            FlacBytes.MakeChecksumsRight(broken, whole);
        return broken;
    }

    /// <summary>Small files of every kind that is read.</summary>
    private static byte[][] Files()
    {
        var noise = Noise(120, 1);
        var floats = noise.Select(s => s * (1f / (1L << 31))).ToArray();
        var doubles = floats.Select(s => (double)s).ToArray();
        List<byte[]> files =
        [
            Wav(Format(1, 2, 48000, 8), Integers(noise, 1, isUnsigned: true)),
            Wav(Format(1, 2, 48000, 16), Integers(noise, 2)),
            Wav(Format(1, 2, 96000, 24), Integers(noise, 3)),
            Wav(Format(1, 1, 96000, 32), Integers(noise, 4)),
            Wav(Format(3, 2, 96000, 32), Floats(floats)),
            Wav(Format(3, 2, 96000, 64), Doubles(doubles)),
            Wav(Extensible(1, 2, 96000, 24, 20), Integers(noise, 3)),
            Wav(Extensible(3, 2, 96000, 32, 32), Floats(floats)),
            Wav64("RF64", Format(1, 6, 96000, 24), Integers(noise, 3)),
            Wav64("BW64", Format(1, 2, 96000, 16), Integers(noise, 2)),
            Aiff(2, 44100, 16, Integers(noise, 2, bigEndian: true)),
            Aiff(2, 44100, 24, Integers(noise, 3, bigEndian: true)),
            Aiff(2, 44100, 16, Integers(noise, 2), "sowt"),
            Aiff(2, 44100, 32, Floats(floats, bigEndian: true), "fl32"),
            Aiff(1, 44100, 64, Doubles(doubles, bigEndian: true), "FL64"),
        ];
        foreach (var kind in Enum.GetValues<FlacBytes.Kind>())
        {
            foreach (var (bits, assignment) in (ReadOnlySpan<(int, int)>)[(16, -1), (24, 10), (32, 8), (32, 9), (8, 9)])
            {
                long[][] channels =
                [
                    .. Enumerable
                        .Range(0, 2)
                        .Select(c => noise.Where((_, i) => i % 2 == c).Select(s => (long)s >> (38 - Math.Min(bits, 24)) << 1).ToArray()),
                ];
                files.Add(FlacBytes.File(channels, bits, 96000, 32, kind, 3, assignment));
            }
        }

        return [.. files];
    }
}
