using Spectre.Console;

namespace Spoolwright.App.Cli;

/// <summary>Shows how far long work is, on the screen that complaints go to; nothing where that is no screen.</summary>
internal static class MeasureProgress
{
    /// <summary>Does the work and gives what it gives; what it throws goes through.</summary>
    public static T Show<T>(Terminal terminal, string title, Func<IProgress<double>?, T> work)
    {
        if (!terminal.ShowsProgress)
            return work(null);
        using var interruption = Interruption.RestoresCursor(terminal.Error);
        return OnScreen(terminal, title, work);
    }

    private static T OnScreen<T>(Terminal terminal, string title, Func<IProgress<double>?, T> work)
    {
        var console = AnsiConsole.Create(
            new AnsiConsoleSettings
            {
                Out = new AnsiConsoleOutput(terminal.Error),
                Interactive = InteractionSupport.Yes,
                Ansi = AnsiSupport.Yes,
            }
        );
        return console
            .Progress()
            .AutoClear(true)
            .Columns(new TaskDescriptionColumn(), new ProgressBarColumn(), new PercentageColumn(), new ElapsedTimeColumn())
            .Start(context =>
            {
                var task = context.AddTask(Markup.Escape(title), maxValue: 1);
                return work(new Share(task));
            });
    }

    // Not Progress<double>: that posts to the thread pool, and the last report may come after the end.
    private sealed class Share(ProgressTask task) : IProgress<double>
    {
        public void Report(double value) => task.Value = Math.Clamp(value, 0, 1);
    }
}
