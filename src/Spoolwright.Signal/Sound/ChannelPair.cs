namespace Spoolwright.Signal.Sound;

/// <summary>
/// Which channels of a file are the deck's left and right, numbered from 1 as people do.
/// The same number twice means that channel alone.
/// </summary>
/// <param name="Left">The left (or only) channel, 1 or more.</param>
/// <param name="Right">The right channel, 1 or more; equal to <paramref name="Left"/> for a single channel.</param>
public readonly record struct ChannelPair(int Left, int Right)
{
    /// <summary>The left (or only) channel, from 1.</summary>
    public int Left { get; } = Checked(Left, nameof(Left));

    /// <summary>The right channel, from 1; equal to <see cref="Left"/> for a single channel.</summary>
    public int Right { get; } = Checked(Right, nameof(Right));

    /// <summary>True when one channel alone is meant.</summary>
    public bool IsSingle => Left == Right;

    /// <summary>One channel alone.</summary>
    /// <param name="channel">Its number, from 1.</param>
    public static ChannelPair Single(int channel) => new(channel, channel);

    /// <summary>Holds the choice against the channels that a file has.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A chosen channel is not there; the message names it.</exception>
    internal static void MustFit(ChannelPair channels, int channelsInFile)
    {
        foreach (var channel in (ReadOnlySpan<int>)[channels.Left, channels.Right])
        {
            if (channel < 1 || channel > channelsInFile)
                throw new ArgumentOutOfRangeException(
                    nameof(channels), channel, $"Channel {channel} is not in the file, which has {channelsInFile}; channels count from 1.");
        }
    }

    private static int Checked(int channel, string name) => channel >= 1
        ? channel
        : throw new ArgumentOutOfRangeException(name, channel, $"Channel {channel} does not exist; channels count from 1.");
}
