using System.Net.WebSockets;
using System.Text;
using System.Text.Json;

namespace Spoolwright.App.Tests.Browser;

/// <summary>A page's socket without a page: sends commands and sound, and looks at pictures.</summary>
internal sealed class BenchSocket : IDisposable
{
    private readonly ClientWebSocket _socket = new();
    private readonly byte[] _buffer = new byte[1 << 18];
    private uint _block;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>Number of the next block; raised by hand it makes a loss.</summary>
    public uint NextBlock { get => _block; set => _block = value; }

    /// <summary>Connects as the bench's own page does.</summary>
    public static async Task<BenchSocket> Open(string origin, string? cookie = null)
    {
        var made = new BenchSocket();
        made._socket.Options.SetRequestHeader("Origin", origin);
        if (cookie is not null)
            made._socket.Options.SetRequestHeader("Cookie", cookie);
        await made._socket.ConnectAsync(new Uri(origin.Replace("http", "ws", StringComparison.Ordinal) + "/live"), Stop);
        return made;
    }

    /// <summary>Sends a command.</summary>
    public Task Say(string json) => _socket.SendAsync(Encoding.UTF8.GetBytes(json), WebSocketMessageType.Text, true, Stop);

    /// <summary>Sends sound in blocks of 480 frames, by a formula of frame and channel, as fast as it is taken in.</summary>
    public async Task Play(int frames, Func<int, int, double> sample)
    {
        var bytes = new byte[16 + (8 * 480)];
        for (var at = 0; at < frames; at += 480, _block++)
        {
            BitConverter.TryWriteBytes(bytes, _block);
            BitConverter.TryWriteBytes(bytes.AsSpan(4), 480);
            for (var c = 0; c < 2; c++)
            {
                for (var i = 0; i < 480; i++)
                    BitConverter.TryWriteBytes(bytes.AsSpan(16 + (4 * ((c * 480) + i))), (float)sample(at + i, c));
            }

            await _socket.SendAsync(bytes, WebSocketMessageType.Binary, true, Stop);
        }
    }

    /// <summary>The first picture of which something holds.</summary>
    public async Task<JsonElement> Until(Func<JsonElement, bool> wanted, int pictures = 600)
    {
        var last = "";
        for (var i = 0; i < pictures; i++)
        {
            var length = 0;
            ValueWebSocketReceiveResult got;
            do
            {
                got = await _socket.ReceiveAsync(_buffer.AsMemory(length), Stop);
                length += got.Count;
            }
            while (!got.EndOfMessage);
            using var picture = JsonDocument.Parse(_buffer.AsMemory(0, length).ToArray());
            if (wanted(picture.RootElement))
                return picture.RootElement.Clone();
            last = picture.RootElement.GetRawText();
        }

        throw new TimeoutException("No picture was as wanted; the last: " + last[..Math.Min(last.Length, 2000)]);
    }

    /// <summary>What a picture says of the capture that is kept; empty where there is none.</summary>
    public static string KeepState(JsonElement picture) =>
        picture.TryGetProperty("keep", out var keep) ? keep.GetProperty("state").GetString()! : "";

    public void Dispose() => _socket.Dispose();
}
