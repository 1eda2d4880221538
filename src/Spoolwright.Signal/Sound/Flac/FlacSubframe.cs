namespace Spoolwright.Signal.Sound.Flac;

/// <summary>Decodes one channel of one block [RFC9639:2024] 9.2.</summary>
internal static class FlacSubframe
{
    /// <summary>Zeros kept before a channel's first sample, so that predictors may be padded to a round order.</summary>
    public const int History = 32;

    /// <summary>Decodes a channel of up to 32 bits.</summary>
    /// <param name="bits">At the subframe's head.</param>
    /// <param name="width">Bits of a sample, 4 to 32.</param>
    /// <param name="samples"><see cref="History"/> zeros, then room for the block.</param>
    /// <returns>False when the subframe is broken (or the bits ran out).</returns>
    public static bool Decode(ref FlacBits bits, int width, Span<int> samples)
    {
        if (!Head.Read(ref bits, width, out var head))
            return false;
        var block = samples[History..];
        if (head.IsConstant)
        {
            block.Fill((int)bits.ReadSigned(head.Width));
        }
        else
        {
            if (block.Length < head.WarmUp)
                return false;
            var plain = head.IsVerbatim ? block.Length : head.WarmUp;
            for (var i = 0; i < plain && !bits.RanOut; i++)
                block[i] = (int)bits.ReadSigned(head.Width);
            if (!head.IsVerbatim)
            {
                Span<int> coefficients = stackalloc int[History];
                if (!head.ReadPredictor(ref bits, coefficients, out var shift) || !FlacResidual.Decode(ref bits, head.WarmUp, block))
                    return false;
                if (head.IsFixed)
                    FlacPrediction.RestoreFixed(head.WarmUp, block);
                else
                    FlacPrediction.Restore(coefficients[..head.WarmUp], shift, samples);
            }
        }

        if (head.Wasted > 0)
        {
            foreach (ref var sample in block)
                sample <<= head.Wasted;
        }

        return !bits.RanOut;
    }

    /// <summary>Decodes a channel of 33 bits: the difference of two of 32.</summary>
    /// <param name="bits">At the subframe's head.</param>
    /// <param name="residuals">Room for the block.</param>
    /// <param name="samples">Takes the samples.</param>
    /// <returns>False when the subframe is broken (or the bits ran out).</returns>
    public static bool DecodeWide(ref FlacBits bits, Span<int> residuals, Span<long> samples)
    {
        if (!Head.Read(ref bits, 33, out var head))
            return false;
        if (head.IsConstant)
        {
            samples.Fill(bits.ReadSigned(head.Width));
        }
        else
        {
            if (samples.Length < head.WarmUp)
                return false;
            var plain = head.IsVerbatim ? samples.Length : head.WarmUp;
            for (var i = 0; i < plain && !bits.RanOut; i++)
                samples[i] = bits.ReadSigned(head.Width);
            if (!head.IsVerbatim)
            {
                Span<int> coefficients = stackalloc int[History];
                if (!head.ReadPredictor(ref bits, coefficients, out var shift) || !FlacResidual.Decode(ref bits, head.WarmUp, residuals))
                    return false;
                if (head.IsFixed)
                    FlacPrediction.FixedCoefficients(head.WarmUp).CopyTo(coefficients);
                FlacPrediction.RestoreWide(coefficients[..head.WarmUp], shift, residuals, samples);
            }
        }

        foreach (ref var sample in samples)
            sample <<= head.Wasted;
        return !bits.RanOut;
    }

    private readonly record struct Head(int Type, int Width, int Wasted)
    {
        public bool IsConstant => Type == 0;

        public bool IsVerbatim => Type == 1;

        public bool IsFixed => Type is >= 8 and <= 12;

        /// <summary>Samples that stand plain before prediction begins: the predictor's order.</summary>
        public int WarmUp => Type < 2 ? 0 : IsFixed ? Type - 8 : Type - 31;

        public static bool Read(ref FlacBits bits, int width, out Head head)
        {
            var zero = bits.Read(1);
            var type = (int)bits.Read(6);
            var wasted = bits.Read(1) == 1 ? (int)Math.Min(bits.ReadUnary() + 1, 64) : 0;
            head = new Head(type, width - wasted, wasted);
            return zero == 0 && head.Width > 0 && type is 0 or 1 or (>= 8 and <= 12) or >= 32;
        }

        public bool ReadPredictor(ref FlacBits bits, Span<int> coefficients, out int shift)
        {
            shift = 0;
            if (IsFixed)
                return true;
            var precision = (int)bits.Read(4) + 1;
            shift = (int)bits.ReadSigned(5);
            if (precision == 16 || shift < 0)
                return false;
            for (var i = 0; i < WarmUp; i++)
                coefficients[i] = (int)bits.ReadSigned(precision);
            return !bits.RanOut;
        }
    }
}
