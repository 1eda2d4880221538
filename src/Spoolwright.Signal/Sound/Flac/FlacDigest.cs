using System.Security.Cryptography;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>The digest of all samples that a FLAC header carries, made anew while reading.</summary>
internal sealed class FlacDigest : IDisposable
{
    private readonly FlacStreamInfo _info;
#pragma warning disable CA5351 // The format prescribes MD5; it guards against accidents, not against people.
    private readonly IncrementalHash _hash = IncrementalHash.CreateHash(HashAlgorithmName.MD5);
#pragma warning restore CA5351
    private byte[] _bytes = [];

    public FlacDigest(FlacStreamInfo info) => _info = info;

    /// <summary>Takes the first frames of a block.</summary>
    public void Add(FlacBlock block, int frames)
    {
        var needed = frames * _info.Channels * ((_info.Bits + 7) / 8);
        if (_bytes.Length < needed + 4)
            _bytes = new byte[needed + 4];
        block.Pack(frames, _bytes);
        _hash.AppendData(_bytes.AsSpan(0, needed));
    }

    /// <summary>True when the sound is what the header says; asked once, at the end.</summary>
    public bool Matches()
    {
        Span<byte> found = stackalloc byte[16];
        _hash.GetHashAndReset(found);
        return found.SequenceEqual(_info.Md5);
    }

    public void Dispose() => _hash.Dispose();
}
