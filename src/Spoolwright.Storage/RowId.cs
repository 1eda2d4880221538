namespace Spoolwright.Storage;

/// <summary>
/// Keys of new rows: version 7 of RFC 9562, each greater than every earlier one of this program, so that rows of one instant keep the order
/// they were written in. The 12 bits after the version count within a millisecond; the rest is random, so that two benches never make the
/// same.
/// </summary>
internal static class RowId
{
    private const int MostInAMillisecond = 1 << 12;

    private static readonly Lock Turn = new();
    private static long millisecond;
    private static int count;

    /// <summary>A new key.</summary>
    public static Guid New()
    {
        Span<byte> bytes = stackalloc byte[16];
        lock (Turn)
        {
            long now = TimeProvider.System.GetUtcNow().ToUnixTimeMilliseconds();
            // A clock that was set back, or more rows than can be counted: the order goes before the time.
            if (now > millisecond)
                (millisecond, count) = (now, 0);
            else if (++count == MostInAMillisecond)
                (millisecond, count) = (millisecond + 1, 0);
            Guid.CreateVersion7(DateTimeOffset.FromUnixTimeMilliseconds(millisecond)).TryWriteBytes(bytes, bigEndian: true, out _);
            (bytes[6], bytes[7]) = ((byte)(0x70 | (count >> 8)), (byte)count);
        }

        return new Guid(bytes, bigEndian: true);
    }
}
