namespace Spoolwright.Signal.Sound;

/// <summary>The kind of file that holds the sound.</summary>
public enum SoundContainer
{
    /// <summary>RIFF WAVE, sizes of 32 bits.</summary>
    Wav,

    /// <summary>WAVE with sizes of 64 bits in a ds64 chunk [EBU3306:2009].</summary>
    Rf64,

    /// <summary>The broadcast form of the same [BS2088:2019].</summary>
    Bw64,

    /// <summary>Big-endian IFF sound, integer only.</summary>
    Aiff,

    /// <summary>The same with a named coding of the samples.</summary>
    Aifc,

    /// <summary>Losslessly packed integers [RFC9639:2024].</summary>
    Flac,
}

/// <summary>What the bits of one sample mean.</summary>
public enum SampleEncoding
{
    /// <summary>Integer around an offset of half the range (8-bit WAV).</summary>
    UnsignedInteger,

    /// <summary>Two's complement integer.</summary>
    SignedInteger,

    /// <summary>IEEE 754 number with full scale at 1.</summary>
    Float,
}

/// <summary>How a file holds its sound, as its header says.</summary>
/// <param name="Container">The kind of file.</param>
/// <param name="Encoding">What a sample's bits mean.</param>
/// <param name="Bits">Bits that carry sound in each sample (4 to 64); the file may store it in more.</param>
/// <param name="SampleRateHz">Frames per second, 32,000 to 192,000.</param>
/// <param name="ChannelsInFile">Channels stored, 1 to 64; the reader delivers one or two of them.</param>
/// <param name="Frames">Frames really in the file as far as known at opening; null when only reading to the end can tell.</param>
public sealed record SoundFormat(
    SoundContainer Container, SampleEncoding Encoding, int Bits, int SampleRateHz, int ChannelsInFile, long? Frames)
{
    /// <summary>Length in s, where the frames are known.</summary>
    public double? Seconds => Frames / (double)SampleRateHz;
}
