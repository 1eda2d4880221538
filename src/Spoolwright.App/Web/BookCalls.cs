using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>What the pages ask of the service book.</summary>
internal sealed class BookCalls(BookShelf shelf)
{
    // A bench has a few decks on it; the book's own page lists all others.
    private const int DecksAtHome = 40;

    /// <summary>Decks with their jobs: those with an open job first, then those last worked on.</summary>
    public Task Home(HttpContext context) => WebJson.Send(context, json =>
    {
        json.WriteString("version", ProgramVersion.Stamp);
        json.WriteString("book", shelf.Book.Name);
        json.WriteNumber("inAll", shelf.Book.DeckCount());
        WebJson.Array(json, "decks", shelf.Book.DeckLines(DecksAtHome, openFirst: true), (json, deck) =>
        {
            json.WriteString("profile", deck.ProfileName);
            json.WriteString("serial", deck.SerialNumber);
            json.WriteString("description", deck.Description);
            WebJson.Array(json, "jobs", shelf.Book.Jobs(deck.Id), static (json, job) =>
            {
                json.WriteString("id", job.Id);
                json.WriteString("what", job.What);
                json.WriteString("opened", job.Opened);
                json.WriteString("closed", job.Closed?.ToString("O", System.Globalization.CultureInfo.InvariantCulture));
            });
        });
        WebJson.Array(json, "measurements", [.. Catalogue.Entries.Where(e => e.Measure is not null)], static (json, entry) =>
        {
            json.WriteString("id", entry.Id);
            json.WriteString("name", entry.Name);
        });
    });

    /// <summary>Takes a deck in and opens a job on it.</summary>
    public async Task AddDeck(HttpContext context)
    {
        using var asked = await WebJson.Body(context).ConfigureAwait(false);
        var serial = WebJson.Text(asked.RootElement, "serial")?.Trim();
        var what = WebJson.Text(asked.RootElement, "what");
        if (string.IsNullOrEmpty(serial) || serial.Length > 100)
        {
            await WebJson.Refuse(context, "Give the deck's serial number, as stamped on it.").ConfigureAwait(false);
            return;
        }

        var text = WebJson.Text(asked.RootElement, "profile") is { Length: > 0 } given ? given : ExampleProfile();
        var parsed = DeckProfileFile.Parse(text);
        if (parsed.Value is not { } profile)
        {
            await WebJson.Refuse(context, "The deck profile cannot be used: " + parsed.Problems[0]).ConfigureAwait(false);
            return;
        }

        var deck =
            shelf.Book.FindDeck(profile.Name, serial)
            ?? shelf.Book.AddDeck(profile.Name, text, serial, WebJson.Text(asked.RootElement, "description") ?? "");
        var job = shelf.Book.OpenJob(deck.Id, string.IsNullOrWhiteSpace(what) ? "Restoration" : what, TimeProvider.System.GetUtcNow());
        await WebJson.Send(context, json => json.WriteString("job", job.Id)).ConfigureAwait(false);
    }

    /// <summary>The matrix of a job's deck.</summary>
    public Task Matrix(HttpContext context) =>
        ForJob(
            context,
            (file, profile) =>
                WebJson.Send(
                    context,
                    json =>
                    {
                        var matrix = DeckMatrix.Of(profile, file, shelf.Adjusted.Of(file.Job.Id));
                        json.WriteString("profile", profile.Name);
                        json.WriteString("serial", file.Deck.SerialNumber);
                        json.WriteString("what", file.Job.What);
                        Words(json, "directions", profile.Directions.Select(DeckWords.Word));
                        Words(json, "settings", profile.TapeSettings);
                        json.WriteStartArray("speeds");
                        foreach (var speed in profile.SpeedsCmPerS)
                            json.WriteNumberValue(speed);
                        json.WriteEndArray();
                        WebJson.Array(
                            json,
                            "measurements",
                            [
                                .. matrix
                                    .Parts.SelectMany(p => p.Columns)
                                    .Select(c => c.Measurement)
                                    .Distinct(StringComparer.Ordinal)
                                    .Select(Catalogue.Find)
                                    .OfType<MeasurementEntry>(),
                            ],
                            static (json, entry) =>
                            {
                                json.WriteString("id", entry.Id);
                                json.WriteString("name", entry.Name);
                                json.WriteString("play", entry.WhatToPlay);
                            }
                        );
                        WebJson.Array(
                            json,
                            "parts",
                            matrix.Parts,
                            static (json, part) =>
                            {
                                json.WriteString(
                                    "scope",
                                    part.Scope switch
                                    {
                                        MatrixScope.Gauges => "gauges",
                                        MatrixScope.Playback => "playback",
                                        _ => "record",
                                    }
                                );
                                WebJson.Array(
                                    json,
                                    "columns",
                                    part.Columns,
                                    static (json, column) =>
                                    {
                                        json.WriteString("measurement", column.Measurement);
                                        json.WriteString("channel", Cli.ContractWords.Of(column.Channel));
                                    }
                                );
                                WebJson.Array(
                                    json,
                                    "rows",
                                    part.Rows,
                                    static (json, row) =>
                                    {
                                        WriteCondition(json, row.Condition);
                                        WebJson.Array(json, "cells", row.Cells, WriteCell);
                                    }
                                );
                            }
                        );
                        if (matrix.Next is { } next)
                        {
                            json.WriteStartObject("next");
                            WriteCondition(json, next.Condition);
                            WriteCell(json, next.Cell);
                            json.WriteEndObject();
                        }
                    }
                )
        );

    /// <summary>The record as a page.</summary>
    public Task Record(HttpContext context) => ForJob(context, (file, _) =>
    {
        var record = new SignOffDesk(shelf.Book).RecordNow(file.Job.Id);
        context.Response.ContentType = "text/html; charset=utf-8";
        return context.Response.Body.WriteAsync(Encoding.UTF8.GetBytes(HtmlRecord.Write(record))).AsTask();
    });

    internal static string ExampleProfile()
    {
        using var stream = typeof(BookCalls).Assembly.GetManifestResourceStream("deck-profile.json")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    private static void WriteCondition(Utf8JsonWriter json, Condition condition)
    {
        json.WriteString("direction", DeckWords.Word(condition.Direction));
        json.WriteNumber("speed", condition.SpeedCmPerS);
        json.WriteString("setting", condition.TapeSetting);
    }

    private static void Words(Utf8JsonWriter json, string name, IEnumerable<string> words)
    {
        json.WriteStartArray(name);
        foreach (var word in words)
            json.WriteStringValue(word);
        json.WriteEndArray();
    }

    private static void WriteCell(Utf8JsonWriter json, MatrixCell? cell)
    {
        if (cell is null)
            return;
        json.WriteString("measurement", cell.Measurement);
        json.WriteString("channel", Cli.ContractWords.Of(cell.Channel));
        json.WriteString("verdict", Cli.ContractWords.Of(cell.Verdict));
        json.WriteString("why", cell.Why);
        json.WriteString(
            "mark",
            cell.From is { } from
                ? from.Mark switch
                {
                    Mark.AsFound => "as found",
                    Mark.FirstRun => "first run",
                    _ => "as left",
                }
                : null
        );
        json.WriteString(
            "doubt",
            cell.Doubt is { } doubt
                ? string.Create(
                    System.Globalization.CultureInfo.InvariantCulture,
                    $"{doubt.What.Replace('-', ' ')} was turned on {doubt.At.ToLocalTime():yyyy-MM-dd} at {doubt.At.ToLocalTime():HH:mm}"
                )
                : null
        );
        if (cell.Worst is not { Reading: { } reading } worst)
            return;
        json.WriteString("quantity", reading.Quantity);
        json.WriteString("name", Quantity.Find(reading.Quantity)?.Name ?? reading.Quantity);
        json.WriteNumber("value", reading.Value);
        json.WriteString("unit", reading.Unit);
        json.WriteString("limit", Cli.VerdictText.Limit(reading, worst.Limit));
        WebJson.Number(json, "frequencyHz", reading.FrequencyHz);
        WebJson.Number(json, "uncertainty", reading.Uncertainty);
        WebJson.Number(json, "margin", worst.Margin);
    }

    private async Task ForJob(HttpContext context, Func<JobFile, DeckProfile, Task> work)
    {
        try
        {
            var (file, profile) = shelf.Job(Guid.Parse((string)context.Request.RouteValues["job"]!));
            if (profile is null)
                await WebJson.Refuse(context, "The deck's profile in the book cannot be read by this version.").ConfigureAwait(false);
            else
                await work(file, profile).ConfigureAwait(false);
        }
        catch (ServiceBookException e)
        {
            await WebJson.Refuse(context, e.Message).ConfigureAwait(false);
        }
    }
}
