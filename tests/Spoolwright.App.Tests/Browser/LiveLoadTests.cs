using System.Diagnostics;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using Spoolwright.Bench.Live;

namespace Spoolwright.App.Tests.Browser;

/// <summary>What the live path costs at 96 kHz stereo, by feeding the server's socket in real time, and that a working day leaves memory
/// flat.</summary>
public sealed class LiveLoadTests
{
    private const int Rate = 96_000;
    private const int Block = 480;
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    // Timed, and the process's own: alone and on a quiet machine, by tools/live-load. Neither ./test nor its long form runs it.
    [Fact]
    [Trait("Category", "Benchmark")]
    public async Task Socket_FedAt96Kilohertz_ShowsThirtyPicturesASecondUnderAThirdOfACore()
    {
        await using var bench = await Bench.Start();
        using var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Origin", bench.Origin);
        await socket.ConnectAsync(new Uri(bench.Origin.Replace("http", "ws", StringComparison.Ordinal) + "/live"), Stop);
        foreach (
            var text in new[]
            {
                $$"""{"do":"deck","job":"{{bench.Job}}","direction":"forward","speed":19.05}""",
                """{"do":"screen","screen":"speed"}""",
                """{"do":"microphone","rate":96000}""",
            }
        )
            await socket.SendAsync(Encoding.UTF8.GetBytes(text), WebSocketMessageType.Text, true, Stop);
        var sentAt = new double[100_000];
        var clock = Stopwatch.StartNew();
        var feeding = Feed(socket, clock, sentAt, seconds: 14);
        var (pictures, delays, cpuFrom, from) = (0, new List<double>(), TimeSpan.Zero, 0.0);
        var buffer = new byte[1 << 18];
        while (!feeding.IsCompleted)
        {
            var length = 0;
            ValueWebSocketReceiveResult got;
            do
            {
                got = await socket.ReceiveAsync(buffer.AsMemory(length), Stop);
                length += got.Count;
            }
            while (!got.EndOfMessage);
            var now = clock.Elapsed.TotalSeconds;
            if (now < 4)
                continue; // compiled and settled by then
            if (pictures++ == 0)
                (cpuFrom, from) = (Process.GetCurrentProcess().TotalProcessorTime, now);
            using var picture = JsonDocument.Parse(buffer.AsMemory(0, length));
            delays.Add(now - sentAt[picture.RootElement.GetProperty("block").GetUInt32()]);
        }

        await feeding;
        var seconds = clock.Elapsed.TotalSeconds - from;
        // Feeding and reading are counted with the server: the sine that is fed, the sockets' other ends, the parsing.
        var cores = (Process.GetCurrentProcess().TotalProcessorTime - cpuFrom).TotalSeconds / seconds;
        delays.Sort();
        var told = FormattableString.Invariant(
            $"{pictures / seconds:F1} pictures/s, {cores:F3} cores, newest block to picture: median {1000 * delays[delays.Count / 2]:F0} ms, 95 % {1000 * delays[delays.Count * 95 / 100]:F0} ms"
        );
        TestContext.Current.TestOutputHelper!.WriteLine(told);
        Assert.True(pictures / seconds > 28 && cores < 1 / 3.0 && delays[delays.Count * 95 / 100] < 0.06, told);
    }

    [Fact]
    [Trait("Category", "Long")]
    public void Meters_FedEightHours_KeepTheirMemory()
    {
        var meters = new LiveMeters(48_000, new LiveContext());
        float[] left = new float[48_000 * 4], right = new float[left.Length];
        for (var i = 0; i < left.Length; i++)
        {
            // Whole periods in four seconds, so that it goes on without a seam; half a percent of flutter at 2 Hz.
            var place = ((double)i / 48_000) + (0.005 / (2 * Math.PI * 2) * Math.Sin(2 * Math.PI * 2 * i / 48_000));
            (left[i], right[i]) = (
                (float)(0.25 * Math.Sin(2 * Math.PI * 3150 * place)),
                (float)(0.2 * Math.Sin((2 * Math.PI * 3150 * place) - 0.1))
            );
        }

        long after = 0;
        for (var seconds = 0; seconds < 8 * 3600; seconds += 4)
        {
            for (var at = 0; at < left.Length; at += 4800)
                meters.Add(left.AsSpan(at, 4800), right.AsSpan(at, 4800));
            meters.Read(withRings: true);
            if (seconds == 120)
                after = GC.GetTotalMemory(forceFullCollection: true);
        }

        var grown = GC.GetTotalMemory(forceFullCollection: true) - after;
        Assert.True(grown < 200_000, $"grown by {grown} bytes"); // less than before is no fault: others' garbage
        Assert.InRange(
            meters.Read(withRings: false).Readings.Single(r => r.Reading.Quantity == "wow-flutter-unweighted-rms").Reading.Value,
            0.35,
            0.36
        );
    }

    private static async Task Feed(ClientWebSocket socket, Stopwatch clock, double[] sentAt, double seconds)
    {
        var bytes = new byte[16 + (8 * Block)];
        for (uint number = 0; number * (double)Block / Rate < seconds; number++)
        {
            BitConverter.TryWriteBytes(bytes, number);
            BitConverter.TryWriteBytes(bytes.AsSpan(4), Block);
            for (var i = 0; i < Block; i++)
            {
                var phase = 2 * Math.PI * 3150 * (((number * (double)Block) + i) / Rate);
                BitConverter.TryWriteBytes(bytes.AsSpan(16 + (4 * i)), (float)(0.25 * Math.Sin(phase)));
                BitConverter.TryWriteBytes(bytes.AsSpan(16 + (4 * (Block + i))), (float)(0.25 * Math.Sin(phase - 0.2)));
            }

            var due = (number + 1) * (double)Block / Rate;
            if (due > clock.Elapsed.TotalSeconds)
                await Task.Delay(TimeSpan.FromSeconds(due - clock.Elapsed.TotalSeconds), Stop);
            sentAt[number] = clock.Elapsed.TotalSeconds;
            await socket.SendAsync(bytes, WebSocketMessageType.Binary, true, Stop);
        }
    }
}
