using System.Text;

namespace Spoolwright.Bench.Files;

/// <summary>A file's text as bytes, able to say on which line and column a byte stands.</summary>
internal sealed class JsonText
{
    private readonly List<int> lineStarts = [0];

    public JsonText(string text)
    {
        Bytes = Encoding.UTF8.GetBytes(text.StartsWith('\uFEFF') ? text[1..] : text);
        for (var i = 0; i < Bytes.Length; i++)
        {
            if (Bytes[i] == (byte)'\n')
                lineStarts.Add(i + 1);
        }
    }

    public byte[] Bytes { get; }

    /// <summary>Line and column from 1; the column counts characters, not bytes.</summary>
    public (int Line, int Column) Place(int offset)
    {
        offset = Math.Clamp(offset, 0, Bytes.Length);
        var found = lineStarts.BinarySearch(offset);
        var line = found >= 0 ? found : ~found - 1;
        var column = 1;
        for (var i = lineStarts[line]; i < offset; i++)
        {
            if ((Bytes[i] & 0xC0) != 0x80)
                column++;
        }

        return (line + 1, column);
    }

    /// <summary>The byte at a line and a byte in that line, both from 0, kept within the text.</summary>
    public int Offset(long line, long byteInLine)
    {
        var start = lineStarts[(int)Math.Clamp(line, 0, lineStarts.Count - 1)];
        return (int)Math.Clamp(start + byteInLine, 0, Bytes.Length);
    }
}
