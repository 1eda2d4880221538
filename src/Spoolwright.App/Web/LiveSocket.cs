using System.Net.WebSockets;
using System.Text.Json;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>
/// One page's socket: sound and commands come in, pictures go out thirty times a second. A command is a JSON object with <c>do</c>; sound is a block as
/// <see cref="SoundBlock"/> has it.
/// </summary>
internal static class LiveSocket
{
    private const int LargestMessage = 1 << 18;
    private static readonly TimeSpan Picture = TimeSpan.FromMilliseconds(1000.0 / 30);

    /// <summary>Serves one page until it leaves.</summary>
    public static async Task Serve(HttpContext context, BookShelf shelf)
    {
        if (!context.WebSockets.IsWebSocketRequest)
        {
            context.Response.StatusCode = StatusCodes.Status400BadRequest;
            return;
        }

        using var socket = await context.WebSockets.AcceptWebSocketAsync().ConfigureAwait(false);
        using var over = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted);
        using var session = new LiveSession(shelf);
        var sending = Send(socket, session, over.Token);
        try
        {
            await Receive(socket, session, over.Token).ConfigureAwait(false);
        }
        catch (Exception e) when (e is WebSocketException or OperationCanceledException)
        {
            // The page went away.
        }

        await over.CancelAsync().ConfigureAwait(false);
        await sending.ConfigureAwait(false);
    }

    private static async Task Receive(WebSocket socket, LiveSession session, CancellationToken stop)
    {
        var message = new byte[LargestMessage];
        while (socket.State == WebSocketState.Open)
        {
            var length = 0;
            ValueWebSocketReceiveResult got;
            do
            {
                got = await socket.ReceiveAsync(message.AsMemory(length), stop).ConfigureAwait(false);
                length += got.Count;
                if (length == message.Length)
                {
                    await socket.CloseOutputAsync(WebSocketCloseStatus.MessageTooBig, "a block is at most 256 KiB", stop).ConfigureAwait(false);
                    return;
                }
            }
            while (!got.EndOfMessage);

            if (got.MessageType == WebSocketMessageType.Close)
            {
                await socket.CloseOutputAsync(WebSocketCloseStatus.NormalClosure, null, stop).ConfigureAwait(false);
                return;
            }

            if (got.MessageType == WebSocketMessageType.Binary)
                session.Hear(message.AsSpan(0, length));
            else
                Command(session, message.AsMemory(0, length));
        }
    }

    private static void Command(LiveSession session, ReadOnlyMemory<byte> text)
    {
        try
        {
            using var command = JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = 8 });
            if (command.RootElement.ValueKind == JsonValueKind.Object)
                session.Do(command.RootElement);
        }
        catch (JsonException)
        {
            // Not from our pages; nothing is done.
        }
    }

    private static async Task Send(WebSocket socket, LiveSession session, CancellationToken stop)
    {
        using var timer = new PeriodicTimer(Picture);
        try
        {
            while (await timer.WaitForNextTickAsync(stop).ConfigureAwait(false) && socket.State == WebSocketState.Open)
                await socket.SendAsync(session.Picture(), WebSocketMessageType.Text, endOfMessage: true, stop).ConfigureAwait(false);
        }
        catch (Exception e) when (e is WebSocketException or OperationCanceledException)
        {
            // The page went away.
        }
    }
}
