namespace Spoolwright.Signal.Sound;

/// <summary>Takes a block of planar sound; the right span is empty with one channel.</summary>
public delegate void SoundSink(ReadOnlySpan<float> left, ReadOnlySpan<float> right);

/// <summary>
/// Moves sound from a source to a meter on two threads: one reads and converts the next block while the other measures the last.
/// Two buffers, so memory does not grow; blocks arrive in order.
/// </summary>
public static class SoundPump
{
    private const int BlockFrames = 1 << 17;

    /// <summary>Reads the source to its end. Returns the frames read.</summary>
    /// <param name="source">The sound.</param>
    /// <param name="meter">Measures each block, on the calling thread.</param>
    /// <param name="watcher">Looks at each block too, on the reading thread (an inspector of clipping and the like); null: none.</param>
    /// <param name="progress">Told the share done, 0 to 1, where the length is known.</param>
    /// <param name="cancellation">Ends the reading between two blocks.</param>
    public static long Run(
        SoundSource source,
        SoundSink meter,
        SoundSink? watcher = null,
        IProgress<double>? progress = null,
        CancellationToken cancellation = default
    )
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(meter);
        var stereo = source.Channels == 2;
        var left = new[] { new float[BlockFrames], new float[BlockFrames] };
        var right = stereo ? new[] { new float[BlockFrames], new float[BlockFrames] } : [[], []];
        var counts = new int[2];
        using var empty = new SemaphoreSlim(2);
        using var full = new SemaphoreSlim(0);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        var reading = Task.Run(
            () =>
            {
                try
                {
                    for (var i = 0; ; i ^= 1)
                    {
                        empty.Wait(stop.Token);
                        counts[i] = 0;
                        counts[i] = source.Read(left[i], right[i]);
                        watcher?.Invoke(left[i].AsSpan(0, counts[i]), stereo ? right[i].AsSpan(0, counts[i]) : default);
                        full.Release();
                        if (counts[i] == 0)
                        {
                            return;
                        }
                    }
                }
                catch
                {
                    full.Release(); // wakes the meter, which finds the failure
                    throw;
                }
            },
            CancellationToken.None);

        long frames = 0;
        try
        {
            for (var i = 0; ; i ^= 1)
            {
                full.Wait(cancellation);
                if (reading.IsFaulted || counts[i] == 0)
                {
                    break;
                }

                meter(left[i].AsSpan(0, counts[i]), stereo ? right[i].AsSpan(0, counts[i]) : default);
                frames += counts[i];
                if (source.Frames is { } all and > 0)
                {
                    progress?.Report(Math.Min(1, (double)frames / all));
                }

                empty.Release();
            }
        }
        finally
        {
            stop.Cancel();
            try
            {
                reading.Wait(CancellationToken.None);
            }
            catch (AggregateException e) when (e.InnerException is OperationCanceledException)
            {
                // The meter threw, or the caller cancelled: that is what is told.
            }
            catch (AggregateException e) when (e.InnerException is not null)
            {
                System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(e.InnerException);
            }
        }

        return frames;
    }
}
