using System.Numerics;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Signal.Tests.Flutter;

/// <summary>The vectorized step of a phase against the library's angle of the quotient.</summary>
public sealed class PhaseStepTests
{
    [Theory]
    [InlineData(0.01)] // every step by the series
    [InlineData(0.3)] // both ways mixed within one group of four
    [InlineData(3.1)] // nearly all by the library
    public void Between_DrawnTurns_GivesTheTurn(double largest)
    {
        var (re, im, turns) = Walk(largest, 1003);
        var steps = new double[re.Length];
        PhaseSteps.Between(re, im, new Complex(2, 0), scale: 100, steps);
        for (var i = 0; i < steps.Length; i++)
        {
            Assert.Equal(turns[i] * 100, steps[i], 1e-9);
        }
    }

    [Fact]
    public void Between_WhateverTheBlocks_IsTheSameToTheLastBit()
    {
        var (re, im, _) = Walk(0.3, 1003);
        var whole = new double[re.Length];
        PhaseSteps.Between(re, im, new Complex(2, 0), scale: 7, whole);
        var parts = new double[re.Length];
        var previous = new Complex(2, 0);
        for (int at = 0, length = 0; at < re.Length; at += length)
        {
            length = Math.Min((length % 9) + 1, re.Length - at);
            PhaseSteps.Between(re.AsSpan(at, length), im.AsSpan(at, length), previous, scale: 7, parts.AsSpan(at));
            previous = new Complex(re[at + length - 1], im[at + length - 1]);
        }

        Assert.Equal(whole, parts);
    }

    [Fact]
    public void Between_NoTone_GivesNoStep()
    {
        var steps = new double[6];
        PhaseSteps.Between(new double[6], new double[6], Complex.Zero, scale: 1, steps);
        Assert.All(steps, s => Assert.Equal(0, s));
    }

    // A phasor whose level wanders, each step a turn drawn between −largest and largest, from angle 0.
    private static (double[] Re, double[] Im, double[] Turns) Walk(double largest, int count)
    {
        var random = new Random(5);
        var (re, im, turns) = (new double[count], new double[count], new double[count]);
        double angle = 0;
        for (var i = 0; i < count; i++)
        {
            turns[i] = largest * ((2 * random.NextDouble()) - 1);
            angle += turns[i];
            var level = 0.1 + random.NextDouble();
            (re[i], im[i]) = (level * Math.Cos(angle), level * Math.Sin(angle));
        }

        return (re, im, turns);
    }
}
