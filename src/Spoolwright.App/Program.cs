using Spoolwright.App.Cli;

return Terminal.RunOnProcess(CommandLine.Run, args);
