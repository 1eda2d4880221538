using System.Net.WebSockets;
using System.Text.Json;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>
/// One page's socket: sound and commands come in, pictures go out thirty times a second. A command is a JSON object with <c>do</c>; sound
/// is a block as
/// <see cref="SoundBlock"/> has it. A paired tablet's socket joins the session of this machine's page; sound is not taken from it.
/// </summary>
internal sealed class LiveSocket(LiveSessions sessions)
{
    private const int LargestMessage = 1 << 18;
    private static readonly TimeSpan Picture = TimeSpan.FromMilliseconds(1000.0 / 30);

    // What only the page that has the sound says: a tablet that has just come must not choose for it.
    private static readonly HashSet<string> OfThisMachine = new(StringComparer.Ordinal) { "microphone", "deck", "check" };

    /// <summary>Serves one page until it leaves.</summary>
    public async Task Serve(HttpContext context)
    {
        if (!context.WebSockets.IsWebSocketRequest)
        {
            context.Response.StatusCode = StatusCodes.Status400BadRequest;
            return;
        }

        using var socket = await context.WebSockets.AcceptWebSocketAsync().ConfigureAwait(false);
        using var over = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted);
        var own = Doorman.IsTablet(context) ? null : sessions.Open();
        var sending = Send(socket, own, over.Token);
        try
        {
            await Receive(socket, own, over.Token).ConfigureAwait(false);
        }
        catch (Exception e) when (e is WebSocketException or OperationCanceledException)
        {
            // The page went away.
        }

        await over.CancelAsync().ConfigureAwait(false);
        await sending.ConfigureAwait(false);
        if (own is not null)
            sessions.Close(own);
    }

    private async Task Receive(WebSocket socket, LiveSession? own, CancellationToken stop)
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
                    await socket
                        .CloseOutputAsync(WebSocketCloseStatus.MessageTooBig, "a block is at most 256 KiB", stop)
                        .ConfigureAwait(false);
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
                own?.Hear(message.AsSpan(0, length));
            else if ((own ?? sessions.Last) is { } session)
                Command(session, message.AsMemory(0, length), isTablet: own is null);
        }
    }

    private static void Command(LiveSession session, ReadOnlyMemory<byte> text, bool isTablet)
    {
        try
        {
            using var command = JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = 8 });
            if (
                command.RootElement.ValueKind == JsonValueKind.Object
                && !(isTablet && OfThisMachine.Contains(WebJson.Text(command.RootElement, "do") ?? ""))
            )
                session.Do(command.RootElement);
        }
        catch (JsonException)
        {
            // Not from our pages; nothing is done.
        }
    }

    private async Task Send(WebSocket socket, LiveSession? own, CancellationToken stop)
    {
        using var timer = new PeriodicTimer(Picture);
        try
        {
            while (await timer.WaitForNextTickAsync(stop).ConfigureAwait(false) && socket.State == WebSocketState.Open)
                await socket
                    .SendAsync((own ?? sessions.Last)?.Picture() ?? NoPage, WebSocketMessageType.Text, endOfMessage: true, stop)
                    .ConfigureAwait(false);
        }
        catch (Exception e) when (e is WebSocketException or OperationCanceledException)
        {
            // The page went away.
        }
    }

    private static ReadOnlyMemory<byte> NoPage { get; } =
        """{"source":"none","block":0,"lostBlocks":0,"problem":"No bench page is open on the computer: open it there too; this one shows what that one hears."}"""u8.ToArray();
}
