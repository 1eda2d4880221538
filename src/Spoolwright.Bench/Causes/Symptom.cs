namespace Spoolwright.Bench.Causes;

/// <summary>A row of the trade's symptom table: what a person sees or hears, and what it likely is.</summary>
/// <param name="Row">Its number in the notes it was taken from.</param>
/// <param name="Said">What is seen or heard.</param>
/// <param name="Means">What it likely is.</param>
/// <param name="Try">What tells, the cheapest first.</param>
/// <param name="Causes">Ids of causes that readings can tell; empty: no reading speaks of it.</param>
/// <param name="Tag">On what it rests: <c>memory</c>, or a key of docs/standards.md.</param>
public sealed record Symptom(int Row, string Said, string Means, string Try, IReadOnlyList<string> Causes, string Tag);
