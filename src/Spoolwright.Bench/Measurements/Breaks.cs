using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>A capture with a break in it, where the interface lost samples, is refused: what follows the break is displaced in
/// time.</summary>
internal static class Breaks
{
    public static void Refuse(SoundInspector inspector)
    {
        if (inspector.HasBreak)
        {
            var note = inspector.Notes().First(n => n.Code == "break");
            throw new CannotMeasureException("break", note.Text);
        }
    }
}
