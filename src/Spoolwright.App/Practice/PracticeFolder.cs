using Spoolwright.App.Cli;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Recording;
using Spoolwright.Practice.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Practice;

/// <summary>A learner's deck on disk: one JSON file, and the flux of recordings that were kept beside it.</summary>
internal sealed class PracticeFolder(string path)
{
    private const string FileName = "practice-deck.json";
    private const double FluxLengthSeconds = 900;

    /// <summary>The deck's file.</summary>
    public string DeckFile => Path.Combine(path, FileName);

    /// <summary>Puts a new deck into the folder.</summary>
    /// <exception cref="CallException">One is there already, or the folder cannot be written.</exception>
    public void Create(LearnersDeck deck)
    {
        if (File.Exists(DeckFile))
            throw new CallException($"{DeckFile} is there already; name a new folder with --folder");
        OrCallException(() => Directory.CreateDirectory(path));
        Save(deck);
    }

    /// <summary>The deck as it was left.</summary>
    public LearnersDeck Load()
    {
        if (!File.Exists(DeckFile))
            throw new CallException($"{DeckFile} does not exist; spoolwright practice new --folder {path} makes a deck");
        try
        {
            return LearnersDeckFile.Read(InputFiles.Text(DeckFile));
        }
        catch (FormatException e)
        {
            throw new CallException($"{DeckFile} is no practice deck that can be read: {e.Message}");
        }
    }

    /// <summary>Leaves the deck as it stands; the file is whole at every moment.</summary>
    public void Save(LearnersDeck deck) => OrCallException(() =>
    {
        File.WriteAllText(DeckFile + ".new", LearnersDeckFile.Write(deck));
        File.Move(DeckFile + ".new", DeckFile, overwrite: true);
    });

    /// <summary>Writes a sound as a capture of 24 bits and gives how many seconds it lasts.</summary>
    public static double Write(SoundSource sound, string file, SoundSource? leftInstead = null)
    {
        var frames = 0L;
        OrCallException(() =>
        {
            using var stream = new FileStream(file, FileMode.Create, FileAccess.ReadWrite);
            using var writer = new WavWriter(stream, sound.SampleRateHz, 2, WavSamples.Integer24, ditherSeed: 1);
            var (left, right, spare) = (new float[4096], new float[4096], new float[4096]);
            for (int got; (got = sound.Read(left, right)) > 0; frames += got)
            {
                if (leftInstead is not null)
                    Fill(leftInstead, left.AsSpan(0, got), spare);
                writer.Write(left.AsSpan(0, got), right.AsSpan(0, got));
            }
        });
        return (double)frames / sound.SampleRateHz;
    }

    /// <summary>Keeps a recording's flux, so that it can be played later.</summary>
    public void Keep(LearnersDeck deck, RecordedTape tape, TapeDirection direction)
    {
        var file = direction == TapeDirection.Forward ? "own-tape-forward.wav" : "own-tape-reverse.wav";
        var (_, to) = tape.Recorded(direction)!.Value;
        OrCallException(() =>
        {
            using var stream = new FileStream(Path.Combine(path, file), FileMode.Create, FileAccess.ReadWrite);
            using var writer = new WavWriter(stream, tape.SampleRateHz, 2, WavSamples.Float32);
            var (left, right) = (new float[4096], new float[4096]);
            for (var at = 0L; at < to * tape.SampleRateHz; at += left.Length)
            {
                tape.CopyFlux(direction, at, left, right);
                writer.Write(left, right);
            }
        });
        deck.Own = [.. deck.Own.Where(o => o.Direction != direction && o.Stock == tape.Stock.Name && o.SpeedCmPerS == tape.SpeedCmPerS),
            new OwnRecording(file, direction, tape.SpeedCmPerS, tape.Stock.Name, tape.How(direction)!)];
    }

    /// <summary>The tape that holds what was kept; null: nothing was.</summary>
    public RecordedTape? OwnTape(LearnersDeck deck)
    {
        RecordedTape? tape = null;
        foreach (var kept in deck.Own)
        {
            using var flux = Open(Path.Combine(path, kept.File));
            tape ??= RecordedTape.Blank(
                LearnersDeck.Stock(kept.Stock) ?? TapeStock.Hembury,
                kept.SpeedCmPerS,
                flux.SampleRateHz,
                FluxLengthSeconds
            );
            tape = tape.With(deck.Board.Deck, kept.Direction, kept.How, flux);
        }

        return tape;
    }

    /// <summary>A sound file to be fed; one channel feeds both.</summary>
    /// <exception cref="CallException">It cannot be read.</exception>
    public static SoundFileReader Open(string file)
    {
        InputFiles.MustBeReadable(file);
        try
        {
            return SoundFile.Open(File.OpenRead(file));
        }
        catch (CannotMeasureException e)
        {
            throw new CallException($"{file} cannot be fed: {e.Message}");
        }
    }

    // The source as it was fed, silence after its end.
    private static void Fill(SoundSource source, Span<float> left, Span<float> spare)
    {
        var done = 0;
        for (int got; done < left.Length && (got = source.Read(left[done..], spare[..(left.Length - done)])) > 0;)
            done += got;
        left[done..].Clear();
    }

    private static void OrCallException(Action work)
    {
        try
        {
            work();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new CallException(e.Message);
        }
    }
}
