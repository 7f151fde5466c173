using NetAudit.Audits.Consequences;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using Spectre.Console;
using Progress = NetAudit.Cli.Terminals.Progress;

namespace NetAudit.Cli.Sessions;

/// <summary>
/// Takes readings one at a time, from a person or from a pipe: each goes to the file first, then the answer is shown.
/// </summary>
internal sealed class ReadingSession(
    StandardStreams streams,
    Amplifier amplifier,
    Diagnoser diagnoser,
    DiagnosisOptions options,
    string path
)
{
    private readonly Screen _screen = Screen.For(streams);
    private readonly List<Reading> _readings = [];
    private readonly Stack<AppendResult> _added = [];
    private Verdict _last = Verdict.WithinLimits;
    private NextReading? _next;

    /// <summary>Runs until the input ends. Returns the exit code of the last answer.</summary>
    public async Task<int> RunAsync(CancellationToken cancellation)
    {
        if (File.Exists(path) && new FileInfo(path).Length > 0)
        {
            var earlier = ReadingsFile.Read(path, amplifier);
            if (earlier.HasErrors)
            {
                return DiagnosticReport.Refuse(streams, json: false, earlier.Diagnostics);
            }
            _readings.AddRange(earlier.Readings);
        }
        SessionReport.WriteOpening(_screen, amplifier, path, _readings.Count);
        try
        {
            if (_readings.Count > 0 || options.Complaint is not null)
            {
                await AnswerAsync(cancellation);
            }
            var next = LineSource();
            while (
                await next(cancellation) is { } line && await TakeAsync(line.Trim(), cancellation)
            ) { }
        }
        finally
        {
            _screen.Line(_readings.Count > 0 ? $"Readings are in {path}." : "No readings taken.");
        }
        return _last == Verdict.WithinLimits ? ExitCodes.NothingWrong : ExitCodes.Found;
    }

    private Func<CancellationToken, Task<string?>> LineSource()
    {
        if (!streams.IsInteractive)
        {
            return async cancellation => await streams.Input.ReadLineAsync(cancellation);
        }
        var names = amplifier.Points.SelectMany(point => point.Aliases.Prepend(point.Name));
        return new LineEditor(
            streams.Output,
            cancellation => AnsiConsole.Console.Input.ReadKeyAsync(intercept: true, cancellation),
            [.. names.Concat(SessionReport.Words).Order(StringComparer.OrdinalIgnoreCase)],
            () => _next?.Typed
        ).ReadAsync;
    }

    // False when the session is to end.
    private async Task<bool> TakeAsync(string line, CancellationToken cancellation)
    {
        switch (line.ToLowerInvariant())
        {
            case "":
                break;
            case "quit":
                return false;
            case "help":
                SessionReport.WriteHelp(_screen);
                break;
            case "points":
                SessionReport.WritePoints(_screen, amplifier);
                break;
            case "report":
                await ReportAsync(cancellation);
                break;
            case "undo":
                await UndoAsync(cancellation);
                break;
            default:
                await AddAsync(line, cancellation);
                break;
        }
        await streams.Output.FlushAsync(cancellation);
        return true;
    }

    private async Task AddAsync(string line, CancellationToken cancellation)
    {
        var typed = TypedReading.Read(line, amplifier);
        if (typed.HasErrors || typed.Readings is not [var reading])
        {
            SessionReport.WriteRefusal(_screen, typed.Diagnostics);
            return;
        }
        var appended = ReadingsAppender.Append(path, reading);
        if (appended.Problem is { } problem)
        {
            SessionReport.WriteRefusal(_screen, [problem]);
            return;
        }
        _added.Push(appended);
        _readings.Add(reading);
        await AnswerAsync(cancellation);
    }

    private async Task UndoAsync(CancellationToken cancellation)
    {
        if (!_added.TryPeek(out var last))
        {
            _screen.Paragraph(
                "Nothing of this session is left to take back; earlier readings stay in the file."
            );
            return;
        }
        if (ReadingsAppender.Undo(path, last) is { } problem)
        {
            SessionReport.WriteRefusal(_screen, [problem]);
            return;
        }
        _added.Pop();
        _screen.Line($"Taken back: {_readings[^1].At}.");
        _readings.RemoveAt(_readings.Count - 1);
        await AnswerAsync(cancellation);
    }

    private async Task AnswerAsync(CancellationToken cancellation)
    {
        if (await DiagnoseAsync(cancellation) is { } result)
        {
            SessionReport.WriteAnswer(_screen, result, _readings.LastOrDefault());
        }
    }

    private async Task ReportAsync(CancellationToken cancellation)
    {
        if (await DiagnoseAsync(cancellation) is { } result)
        {
            DiagnosisReport.Write(_screen, amplifier, result);
        }
    }

    // Null, and said, when there is nothing to weigh.
    private async Task<DiagnosisResult?> DiagnoseAsync(CancellationToken cancellation)
    {
        _last = Verdict.WithinLimits;
        _next = null;
        if (_readings.Count == 0 && options.Complaint is null)
        {
            _screen.Line("No readings yet.");
            return null;
        }
        var result = await Progress.DuringAsync(
            streams,
            "Weighing the faults",
            () =>
                diagnoser
                    .Diagnose(_readings, options, cancellation)
                    .WithOverloads(diagnoser, cancellation)
        );
        _last = result.Verdict;
        _next = result.Next is [var next, ..] ? next : null;
        return result;
    }
}
