using System.Collections.Immutable;
using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Commands;

/// <summary>The argument and options that name several circuits.</summary>
internal sealed class VariantInput
{
    private readonly Argument<string[]> _netlists;

    private readonly Option<string?> _library = new("--library")
    {
        Description = "Folder in which included files are looked for too.",
        HelpName = "FOLDER",
    };

    private readonly Option<bool> _json = new("--json")
    {
        Description = "Answer in JSON; errors too, as an array.",
    };

    /// <summary>Gives a verb the argument and the options.</summary>
    /// <param name="verb">The verb; arguments before the circuits are there already.</param>
    /// <param name="atLeast">Circuits needed.</param>
    public VariantInput(Command verb, int atLeast)
    {
        _netlists = new Argument<string[]>("CIRCUIT")
        {
            Description = "Netlist files (*.cir), each with its sheet beside it when there is one.",
            Arity = new ArgumentArity(atLeast, 100_000),
        };
        verb.Add(_netlists);
        verb.Add(_library);
        verb.Add(_json);
    }

    /// <summary>Whether the answer is to be JSON.</summary>
    public bool IsJson(ParseResult parsed) => parsed.GetValue(_json);

    /// <summary>The files as given.</summary>
    public ImmutableArray<string> Names(ParseResult parsed) =>
        [.. parsed.GetRequiredValue(_netlists)];

    /// <summary>Reads netlists and sheets. Null after saying what is wrong in any of them; else what is worth saying is said.</summary>
    public ImmutableArray<Amplifier>? Read(
        ParseResult parsed,
        StandardStreams streams,
        CancellationToken cancellationToken
    )
    {
        var read = Names(parsed)
            .Select(netlist =>
                AmplifierReader.Read(
                    netlist,
                    libraryFolder: parsed.GetValue(_library),
                    cancellationToken: cancellationToken
                )
            )
            .ToArray();
        Diagnostic[] diagnostics =
        [
            .. read.SelectMany(one => one.Diagnostics)
                .Where(diagnostic => diagnostic.Severity >= Severity.Warning),
        ];
        if (read.Any(one => one.Amplifier is null))
        {
            DiagnosticReport.Refuse(streams, IsJson(parsed), diagnostics);
            return null;
        }
        DiagnosticReport.Remark(streams, IsJson(parsed), diagnostics);
        return [.. read.Select(one => one.Amplifier!)];
    }
}
