using BenchmarkDotNet.Running;
using Spoolwright.Benchmarks.Matrix;

if (args is ["matrix", var folder, .. var kinds])
{
    MatrixRun.Run(folder, kinds);
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(MatrixRun).Assembly).Run(args);
