using System.CommandLine;
using NetAudit.Audits.Consequences;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit consequences CIRCUIT</c></summary>
internal sealed class ConsequencesCommand
{
    private readonly Option<bool> _all = new("--all")
    {
        Description = "Every fault that harms anything, not only the worst.",
    };

    private readonly Option<string?> _part = new("--part")
    {
        Description = "The faults of one part, each in full.",
        HelpName = "PART",
    };

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private ConsequencesCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        verb.Add(_all);
        verb.Add(_part);
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "consequences",
            "Show what each single fault does to the other parts, the fuses and a hand."
        );
        _ = new ConsequencesCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var json = _input.IsJson(parsed);
        var name = parsed.GetValue(_part);
        if (name is not null && amplifier.FindPart(name) is null)
        {
            var known = amplifier.Parts.Select(part => part.Name);
            return DiagnosticReport.Refuse(
                _streams,
                json,
                $"the circuit has no part \"{name}\"",
                $"its parts are {string.Join(", ", known)}"
            );
        }
        var (finder, problem) = ConsequenceFinder.Prepare(amplifier, cancellation);
        if (finder is null)
        {
            return DiagnosticReport.Refuse(_streams, json, [problem!]);
        }
        var all = await Progress.DuringAsync(
            _streams,
            "Trying every fault",
            progress => finder.All(progress, cancellation)
        );
        var shown = name is null ? all : [.. all.Where(one => IsOf(amplifier, one, name))];
        if (json)
        {
            _streams.Output.Write(ConsequenceJson.ToText(shown) + "\n");
        }
        else if (name is null)
        {
            ConsequenceReport.Write(Screen.For(_streams), amplifier, shown, parsed.GetValue(_all));
        }
        else
        {
            ConsequenceReport.WriteInFull(Screen.For(_streams), amplifier, shown);
        }
        return shown.Any(one => one.IsHarmful) ? ExitCodes.Found : ExitCodes.NothingWrong;
    }

    private static bool IsOf(Amplifier amplifier, Consequence consequence, string name)
    {
        var part = amplifier.FindPart(name);
        return consequence
            .Faults.AddRange(consequence.Alike)
            .Any(fault => amplifier.FindPart(fault.Part) == part);
    }
}
