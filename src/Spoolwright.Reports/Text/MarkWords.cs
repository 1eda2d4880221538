namespace Spoolwright.Reports.Text;

/// <summary>The sentence under the marks, for whoever reads a record for the first time.</summary>
internal static class MarkWords
{
    public const string Explained =
        "Met: the figure with all of its uncertainty keeps to the limit. Not proven: the limit lies within the uncertainty, or the uncertainty is not known. "
        + "Not met: the figure with all of its uncertainty lies beyond. Not measured: there is no figure, which says nothing for or against the deck. "
        + "Each figure is the one nearest its limit; a number after a verdict's word is the distance to it.";
}
