namespace Spoolwright.Signal.Sound.Flac;

/// <summary>Decodes what prediction left over, partition by partition [RFC9639:2024] 9.2.7.</summary>
internal static class FlacResidual
{
    /// <summary>Fills a block from the predictor's order on.</summary>
    /// <param name="bits">At the residual's head.</param>
    /// <param name="order">Samples at the block's start that have no residual.</param>
    /// <param name="block">The whole block.</param>
    /// <returns>False when the coding is broken (or the bits ran out).</returns>
    public static bool Decode(ref FlacBits bits, int order, Span<int> block)
    {
        var method = bits.Read(2);
        var partitionOrder = (int)bits.Read(4);
        if (method > 1)
            return false;
        var parameterBits = method == 0 ? 4 : 5;
        var escape = (1 << parameterBits) - 1;
        var length = block.Length >> partitionOrder;
        if (length << partitionOrder != block.Length || length < order)
            return false;
        for (var start = 0; start < block.Length; start += length)
        {
            var partition = start == 0 ? block[order..length] : block.Slice(start, length);
            var parameter = (int)bits.Read(parameterBits);
            if (parameter != escape)
            {
                if (!bits.ReadRice(parameter, partition))
                    return false;
            }
            else
            {
                var width = (int)bits.Read(5);
                foreach (ref var residual in partition)
                    residual = (int)bits.ReadSigned(width);
            }

            if (bits.RanOut)
                return false;
        }

        return true;
    }
}
