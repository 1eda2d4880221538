using System.CommandLine;
using System.CommandLine.Invocation;

namespace Spoolwright.App.Cli;

/// <summary>Writes the help of one command: what it is for, what to play, its options, examples and exit codes.</summary>
internal sealed class HelpPage(IReadOnlyDictionary<Command, Lesson> lessons, Terminal terminal) : SynchronousCommandLineAction
{
    /// <inheritdoc/>
    public override bool ClearsParseErrors => true;

    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        Write(parseResult.CommandResult.Command, terminal.Output);
        return ExitCode.Done;
    }

    /// <summary>Writes the page of <paramref name="command"/>.</summary>
    public void Write(Command command, TextWriter to)
    {
        var lesson = lessons.GetValueOrDefault(command) ?? new Lesson();
        TextLayout.WriteParagraph(to, command.Description ?? "", terminal.Width);
        foreach (var paragraph in lesson.Paragraphs)
        {
            to.WriteLine();
            TextLayout.WriteParagraph(to, paragraph, terminal.Width);
        }

        Heading(to, "Usage");
        TextLayout.WriteParagraph(to, UsageLine(command), terminal.Width, indent: 2);
        if (lesson.WhatToPlay is { } play)
        {
            Heading(to, "What to play");
            TextLayout.WriteParagraph(to, play, terminal.Width, indent: 2);
        }

        if (lesson.WhatToDo is { } act)
        {
            Heading(to, "What to do");
            TextLayout.WriteParagraph(to, act, terminal.Width, indent: 2);
        }

        Section(to, "Commands", command.Subcommands.Where(c => !c.Hidden).Select(c => new HelpRow(c.Name, c.Description ?? "")));
        Section(to, "Arguments", command.Arguments.Select(a => new HelpRow(Name(a), a.Description ?? "")));
        Section(
            to,
            "Options",
            OptionsOf(command).Select(o => new HelpRow(Label(o), (o.Description ?? "") + (o.Required ? " Required." : "")))
        );
        Section(to, "Reads", lesson.Reads);
        Section(to, "Names", lesson.Names);
        if (lesson.Examples.Count > 0)
            Heading(to, "Examples");
        foreach (var example in lesson.Examples)
        {
            WriteCall(to, example.Term);
            TextLayout.WriteParagraph(to, example.Meaning, terminal.Width, indent: 6);
        }

        Section(to, "Exit codes", lesson.ExitCodes);
    }

    private static void Heading(TextWriter to, string text)
    {
        to.WriteLine();
        to.WriteLine(text);
    }

    /// <summary>A call to copy: where it is longer than the screen it goes on after a backslash, as shells have it.</summary>
    private void WriteCall(TextWriter to, string call)
    {
        // Broken before an option alone, so that each stays with its value.
        var lines = new List<string>();
        foreach (var piece in call.Split(" --"))
        {
            var text = lines.Count == 0 ? piece : "--" + piece;
            if (lines.Count > 0 && lines[^1].Length + 1 + text.Length <= terminal.Width - 8)
                lines[^1] += " " + text;
            else
                lines.Add(text);
        }

        for (var i = 0; i < lines.Count; i++)
            to.WriteLine((i == 0 ? "  " : "      ") + lines[i] + (i < lines.Count - 1 ? " \\" : ""));
    }

    private void Section(TextWriter to, string heading, IEnumerable<HelpRow> rows)
    {
        var all = rows.ToList();
        if (all.Count == 0)
            return;
        Heading(to, heading);
        TextLayout.WriteColumns(to, all, terminal.Width);
    }

    private static string UsageLine(Command command)
    {
        var path = CommandPath.Of(command);
        if (command.Subcommands.Count > 0)
            path += " COMMAND";
        foreach (var argument in command.Arguments)
            path += " " + Name(argument);
        foreach (var option in command.Options.Where(o => o.Required))
            path += " " + Label(option);
        return command.Options.Any(o => !o.Required) ? path + " [options]" : path;
    }

    private static IEnumerable<Option> OptionsOf(Command command) =>
        command
            .Options.Concat(command.Parents.OfType<Command>().SelectMany(p => p.Options.Where(o => o.Recursive)))
            .Where(o => !o.Hidden)
            .Distinct();

    private static string Label(Option option)
    {
        var names = string.Join(", ", option.Aliases.Where(a => a.StartsWith('-')).OrderBy(a => a.Length).Append(option.Name).Distinct());
        return option.HelpName is { Length: > 0 } value ? $"{names} {value}" : names;
    }

    private static string Name(Argument argument) => argument.HelpName ?? argument.Name.ToUpperInvariant();
}
