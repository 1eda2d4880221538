using System.Globalization;
using Microsoft.AspNetCore.Http;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Web;

/// <summary>Signals as sound files that a page plays: our programs, and what the check of the input sends.</summary>
internal static class SignalCalls
{
    /// <summary>Length of a steady program, s.</summary>
    public const double SteadySeconds = 20;

    /// <summary>Sends one as 32-bit floating point at the rate asked for.</summary>
    public static async Task Send(HttpContext context)
    {
        var name = (string)context.Request.RouteValues["name"]!;
        var rate =
            int.TryParse(context.Request.Query["rate"], CultureInfo.InvariantCulture, out var hz) && hz is >= 44_100 and <= 192_000
                ? hz
                : 48_000;
        var level =
            double.TryParse(context.Request.Query["level"], CultureInfo.InvariantCulture, out var db) && db is >= -60 and <= -3 ? db : -12;
        var known = true;
        using var file = new MemoryStream();
        using (var writer = new WavWriter(file, rate, 2, WavSamples.Float32))
        {
            if (name == "check")
                Check(writer, rate);
            else if (ProgramList.Find(name) is { } kind)
                Copy(new ProgramSound(Made(kind), rate, level), writer);
            else
                known = false;
        }

        if (!known)
        {
            await WebJson.Refuse(context, $"There is no signal \"{name}\".").ConfigureAwait(false);
            return;
        }

        context.Response.ContentType = "audio/wav";
        await context.Response.Body.WriteAsync(file.ToArray()).ConfigureAwait(false);
    }

    /// <summary>A kind's program in the form that the bench uses: brief where there is one.</summary>
    public static SignalProgram Made(ProgramKind kind) =>
        ProgramList.Make(kind, brief: kind.BriefVariant is not null, steadySeconds: kind.SteadySeconds is null ? null : SteadySeconds);

    private static void Copy(ProgramSound sound, WavWriter writer)
    {
        float[] left = new float[1 << 14], right = new float[1 << 14];
        for (int n; (n = sound.Read(left, right)) > 0;)
            writer.Write(left.AsSpan(0, n), right.AsSpan(0, n));
    }

    private static void Check(WavWriter writer, int rate)
    {
        var n = (int)(InputCheck.StepSeconds * rate);
        float[] left = new float[n], right = new float[n];
        foreach (var step in InputCheck.Steps)
        {
            var amplitude = Math.Pow(10, step.LevelDb / 20);
            for (var i = 0; i < n; i++)
            {
                // Twenty milliseconds of rise and fall, so that no step clicks.
                var edge = Math.Min(1, Math.Min(i, n - i) / (0.02 * rate));
                left[i] = (float)(edge * amplitude * Math.Sin(2 * Math.PI * step.LeftHz * i / rate));
                right[i] = (float)(edge * amplitude * Math.Sin(2 * Math.PI * step.RightHz * i / rate));
            }

            writer.Write(left, right);
        }
    }
}
