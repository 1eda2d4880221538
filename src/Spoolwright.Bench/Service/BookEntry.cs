namespace Spoolwright.Bench.Service;

/// <summary>
/// Something that a person wrote into the book. Never changed: a correction is a later entry that names this one, and so is taking it back.
/// </summary>
public abstract record BookEntry
{
    /// <summary>Its key, the same on every bench; given by the book.</summary>
    public Guid Id { get; init; }

    /// <summary>
    /// The first entry of its line of corrections, itself where it is the first: what other entries refer to. Given by the book.
    /// </summary>
    public Guid Root { get; init; }

    /// <summary>When it was written down, given by the book.</summary>
    public DateTimeOffset Entered { get; init; }

    /// <summary>The earlier entry that this one takes the place of; null: none.</summary>
    public Guid? Supersedes { get; init; }

    /// <summary>Why it was taken back; null: it stands.</summary>
    public string? Withdrawn { get; init; }

    /// <summary>Holds what the entry says against what makes sense.</summary>
    /// <exception cref="EntryException">Something does not; the message names it and its value.</exception>
    public virtual void Check()
    {
    }

    /// <summary>Refuses a text that is blank or far too long.</summary>
    protected static void Need(string? text, string what, int most = 400)
    {
        if (string.IsNullOrWhiteSpace(text))
            throw new EntryException($"{what} is missing");
        AtMost(text, what, most);
    }

    /// <summary>Refuses a text that is far too long, where one stands.</summary>
    protected static void AtMost(string? text, string what, int most = 4000)
    {
        if (text?.Length > most)
            throw new EntryException($"{what} is {text.Length} characters long; at most {most} are kept");
    }

    /// <summary>Refuses what does not hold.</summary>
    protected static void Hold(bool holds, string otherwise)
    {
        if (!holds)
            throw new EntryException(otherwise);
    }
}

/// <summary>What somebody wants to write down makes no sense, or a rule of the shop forbids it. One plain line.</summary>
public sealed class EntryException(string message) : Exception(message);
