namespace Spoolwright.Bench.Live;

/// <summary>
/// Each tone as it last was while it stood. Its end shows in a reading before it is known for one, so a reading is believed only once the
/// tone has stood on for a while after it.
/// </summary>
internal sealed class HeardTones
{
    private const double StoodOnSeconds = 0.4;
    private const double ForgottenAfterSeconds = 600;
    private readonly SortedDictionary<double, Memory> _tones = [];

    /// <summary>Takes a tone's reading of now.</summary>
    public void Keep(LiveToneState state, double seconds)
    {
        if (!_tones.TryGetValue(state.NominalHz, out var memory))
        {
            _tones.Add(state.NominalHz, memory = new Memory());
        }

        if (memory.Waiting is null || seconds - memory.WaitingSince > 2 * StoodOnSeconds)
        {
            // The first of a new stretch: what waited from an earlier one may be its end.
            (memory.Waiting, memory.WaitingSince) = (state, seconds);
        }
        else if (seconds - memory.WaitingSince >= StoodOnSeconds)
        {
            (memory.Believed, memory.At) = (memory.Waiting, memory.WaitingSince);
            (memory.Waiting, memory.WaitingSince) = (state, seconds);
        }
    }

    /// <summary>A tone's last believed reading, or null.</summary>
    public LiveToneState? Last(double nominalHz) => _tones.TryGetValue(nominalHz, out var memory) ? memory.Believed : null;

    /// <summary>Every tone believed, with its age.</summary>
    public IEnumerable<LiveToneState> Earlier(double seconds) =>
        _tones
            .Values.Where(m => m.Believed is not null && seconds - m.At < ForgottenAfterSeconds)
            .Select(m => m.Believed! with { AgeSeconds = Math.Max(0.001, seconds - m.At) });

    /// <summary>Forgets all.</summary>
    public void Clear() => _tones.Clear();

    private sealed class Memory
    {
        public LiveToneState? Waiting { get; set; }

        public double WaitingSince { get; set; }

        public LiveToneState? Believed { get; set; }

        public double At { get; set; }
    }
}
