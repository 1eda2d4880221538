using System.Globalization;
using BenchmarkDotNet.Running;
using Spoolwright.Benchmarks.Book;
using Spoolwright.Benchmarks.Matrix;

if (args is ["book", var where, var jobs, var profile, var program])
    return await BookRun.Run(where, int.Parse(jobs, CultureInfo.InvariantCulture), profile, program).ConfigureAwait(false);
if (args is ["matrix", var folder, .. var kinds])
{
    MatrixRun.Run(folder, kinds);
    return 0;
}

BenchmarkSwitcher.FromAssembly(typeof(MatrixRun).Assembly).Run(args);
return 0;
