namespace Spoolwright.App.Cli;

/// <summary>What the program's exit code says; part of the contract with scripts.</summary>
public static class ExitCode
{
    /// <summary>Done; where limits were given, none is broken.</summary>
    public const int Done = 0;

    /// <summary>Measured, and a limit given with the call is not met.</summary>
    public const int LimitNotMet = 1;

    /// <summary>The call is wrong: an option, or a file that is not there or says nonsense.</summary>
    public const int CallWrong = 2;

    /// <summary>The sound cannot be measured.</summary>
    public const int CannotMeasure = 3;

    /// <summary>A fault of the program itself, or of the disk or pipe it writes to.</summary>
    public const int ProgramFault = 70;

    /// <summary>Stopped by Ctrl-C.</summary>
    public const int Interrupted = 130;
}

/// <summary>The call is wrong in a way that one line can say.</summary>
public sealed class CallException(string message) : Exception(message);
