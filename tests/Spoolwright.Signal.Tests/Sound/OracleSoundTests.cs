using System.Diagnostics;
using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>Our readers against files written by other programs of the operating system (computed: flac 1.4.2, sox 14.4.2 of Debian
/// 12).</summary>
public sealed class OracleSoundTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("spoolwright-sound-").FullName;

    public static TheoryData<int, int> BitsAndChannels
    {
        get
        {
            var data = new TheoryData<int, int>();
            foreach (var bits in (int[])[8, 12, 16, 20, 24, 32])
            {
                foreach (var channels in (int[])[1, 2, 6])
                    data.Add(bits, channels);
            }

            return data;
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [MemberData(nameof(BitsAndChannels))]
    public void Flac_OfEveryLevel_IsBitExact(int bits, int channels)
    {
        var samples = Programme(channels, bits, 9000 + bits);
        var bytes = (bits + 7) / 8;
        var wav = Path.Combine(_folder, "in.wav");
        File.WriteAllBytes(wav, Wav(Extensible(1, channels, 96000, bytes * 8, bits), Integers(samples, bytes, isUnsigned: bytes == 1)));
        for (var level = 0; level <= 8; level++)
        {
            var flac = Path.Combine(_folder, $"{level}.flac");
            Run("flac", $"--totally-silent -f -{level} -o {flac} {wav}");
            foreach (var single in channels == 1 ? [1] : (int[])[1, channels])
            {
                var pair = channels == 1 ? ChannelPair.Single(1) : new ChannelPair(single, single == 1 ? 2 : 1);
                using var reader = SoundFile.Open(File.OpenRead(flac), pair);
                var (left, right) = All(reader, 4096, 1, 333);
                Assert.Equal(Channel(samples, channels, pair.Left - 1, bits), left);
                Assert.Equal(channels == 1 ? [] : Channel(samples, channels, pair.Right - 1, bits), right);
                Assert.Empty(reader.Notes);
                Assert.Equal(
                    new SoundFormat(SoundContainer.Flac, SampleEncoding.SignedInteger, bits, 96000, channels, samples.Length / channels),
                    reader.Format
                );
            }
        }
    }

    [Theory]
    [InlineData("--blocksize=16 --lax")]
    [InlineData("--blocksize=65535 --lax")]
    [InlineData("--blocksize=4567 --lax -l 32 -e -p -r 0,15")]
    [InlineData("--disable-constant-subframes --disable-fixed-subframes -m")]
    [InlineData("--disable-constant-subframes -l 0")]
    [InlineData("-b 192 -M -l 4 -q 5")]
    [InlineData("--no-md5-sum --no-seektable --no-padding")]
    public void Flac_OfUncommonChoices_IsBitExact(string options)
    {
        var samples = Programme(2, 24, 70_001);
        var wav = Path.Combine(_folder, "in.wav");
        File.WriteAllBytes(wav, Wav(Format(1, 2, 48000, 24), Integers(samples, 3)));
        var flac = Path.Combine(_folder, "out.flac");
        Run("flac", $"--totally-silent -f {options} -o {flac} {wav}");
        using var reader = SoundFile.Open(File.OpenRead(flac));
        var (left, right) = All(reader);
        Assert.Equal(Channel(samples, 2, 0, 24), left);
        Assert.Equal(Channel(samples, 2, 1, 24), right);
        Assert.Empty(reader.Notes);
    }

    [Theory]
    [InlineData("aiff", "-b 8")]
    [InlineData("aiff", "-b 16")]
    [InlineData("aiff", "-b 24")]
    [InlineData("aiff", "-b 32")]
    [InlineData("aifc", "-b 16")]
    [InlineData("aifc", "-b 24")]
    [InlineData("wav", "-b 8 -e unsigned-integer")]
    [InlineData("wav", "-b 16")]
    [InlineData("wav", "-b 24")]
    [InlineData("wav", "-b 32")]
    [InlineData("wav", "-b 32 -e floating-point")]
    [InlineData("wav", "-b 64 -e floating-point")]
    [InlineData("flac", "-b 16")]
    [InlineData("flac", "-b 24")]
    public void File_WrittenBySox_IsReadAsSoxReadsIt(string kind, string options)
    {
        foreach (var channels in (int[])[1, 2, 6])
        {
            var samples = Programme(channels, 32, 4321);
            var raw = Path.Combine(_folder, "in.raw");
            File.WriteAllBytes(raw, Integers(samples, 4));
            var file = Path.Combine(_folder, "sox." + kind);
            var back = Path.Combine(_folder, "back.raw");
            Run("sox", $"-V1 -D -t raw -r 96000 -e signed-integer -b 32 -c {channels} {raw} {options} {file}");
            Run("sox", $"-V1 -D {file} -t raw -e signed-integer -b 32 {back}");
            var data = File.ReadAllBytes(back);
            var expected = Enumerable.Range(0, data.Length / 4).Select(i => ReadTop(data.AsSpan(4 * i), 4)).ToArray();
            using var reader = SoundFile.Open(File.OpenRead(file));
            var (left, right) = All(reader);
            // Its own integers of 32 bits hold what a file of up to 24 bits says exactly; a float above full scale is clipped there.
            Assert.Equal(Channel(expected, channels, 0), left);
            Assert.Equal(channels == 1 ? [] : Channel(expected, channels, 1), right);
            Assert.Empty(reader.Notes);
        }
    }

    [Theory]
    [InlineData("wav", "streamed")]
    [InlineData("aiff", "streamed")]
    public void File_WrittenIntoAPipe_IsReadToItsEnd(string kind, string note)
    {
        var samples = Programme(2, 16, 5000);
        var raw = Path.Combine(_folder, "in.raw");
        File.WriteAllBytes(raw, Integers(samples, 2));
        var file = Path.Combine(_folder, "piped");
        Run("sh", $"-c \"cat {raw} | sox -V1 -D -t raw -r 48000 -e signed-integer -b 16 -c 2 - -t {kind} - | cat > {file}\"");
        using var reader = SoundFile.Open(File.OpenRead(file));
        Assert.Equal(Channel(samples, 2, 1, 16), All(reader).Right);
        Assert.Equal(note, Assert.Single(reader.Notes).Code);
    }

    /// <summary>Silence, noise at full scale, tones in step and against each other, a square wave, and sound with idle low bits.</summary>
    private static int[] Programme(int channels, int bits, int frames)
    {
        var random = new Random(bits);
        var samples = new int[frames * channels];
        for (var frame = 0; frame < frames; frame++)
        {
            for (var channel = 0; channel < channels; channel++)
            {
                var tone = Math.Sin((0.05 * frame) + channel) * int.MaxValue;
                var value = (frame * 8 / frames) switch
                {
                    0 => 0,
                    1 => random.NextInt64(int.MinValue, 1L << 31),
                    2 => (long)tone,
                    3 => (long)(channel == 1 ? -0.5 * tone : 0.5 * tone) + random.Next(1 << 20),
                    4 => (frame / 50 % 2) == 0 ? int.MaxValue : int.MinValue,
                    5 => (long)(tone * 0.9) >> 27 << 27,
                    6 => (long)(0.01 * tone) + (random.Next(1 << 16) << (channel % 3)),
                    _ => random.Next(4) == 0 ? int.MinValue : (long)(Math.Sin(0.0007 * frame) * 2e9),
                };
                samples[(frame * channels) + channel] = (int)value >> (32 - bits) << (32 - bits);
            }
        }

        return samples;
    }

    private static void Run(string program, string arguments)
    {
        Process process;
        try
        {
            process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true, UseShellExecute = false })!;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Fail($"The program '{program}' is missing: install the Debian package '{program}' (apt-get install {program}).");
            return;
        }

        using (process)
        {
            var errors = process.StandardError.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, $"{program} {arguments}: {errors}");
        }
    }
}
