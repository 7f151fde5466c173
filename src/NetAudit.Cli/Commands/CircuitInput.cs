using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary>The argument and options that name a circuit; the same for every verb.</summary>
internal sealed class CircuitInput
{
    /// <summary>The netlist.</summary>
    public Argument<string> Netlist { get; } =
        new("CIRCUIT") { Description = "Netlist file (*.cir); - reads standard input." };

    private readonly Option<string?> _sheet = new("--sheet")
    {
        Description =
            "Service sheet (default: the name of the netlist with .sheet.toml, when there is one).",
        HelpName = "FILE",
    };

    private readonly Option<string?> _library = new("--library")
    {
        Description = "Folder in which included files are looked for too.",
        HelpName = "FOLDER",
    };

    private readonly Option<bool> _json = new("--json")
    {
        Description = "Answer in JSON; errors too, as an array.",
    };

    private readonly Option<string?> _calibration = new("--calibration")
    {
        Description = "Calibration that netaudit calibrate wrote: a better nominal point.",
        HelpName = "FILE",
    };

    /// <summary>Gives a verb the argument and the options.</summary>
    /// <param name="verb">The verb.</param>
    /// <param name="takesCalibration">Whether the verb predicts readings, so that a calibration matters to it.</param>
    /// <param name="isOptional">Whether the verb does something without a circuit.</param>
    public CircuitInput(Command verb, bool isOptional = false, bool takesCalibration = false)
    {
        if (isOptional)
        {
            Netlist.Arity = ArgumentArity.ZeroOrOne;
        }
        verb.Add(Netlist);
        verb.Add(_sheet);
        verb.Add(_library);
        verb.Add(_json);
        if (takesCalibration)
        {
            verb.Add(_calibration);
        }
    }

    /// <summary>Whether the answer is to be JSON.</summary>
    public bool IsJson(ParseResult parsed) => parsed.GetValue(_json);

    /// <summary>Reads netlist and sheet. Null after saying what is wrong; else what is worth saying is said.</summary>
    public Amplifier? Read(
        ParseResult parsed,
        StandardStreams streams,
        CancellationToken cancellationToken
    )
    {
        var (amplifier, diagnostics) = AmplifierReader.Read(
            parsed.GetRequiredValue(Netlist),
            parsed.GetValue(_sheet),
            parsed.GetValue(_library),
            cancellationToken: cancellationToken
        );
        if (amplifier is null)
        {
            DiagnosticReport.Refuse(streams, IsJson(parsed), diagnostics);
            return null;
        }
        // Notes (cards read over) matter to the one who writes the netlist, not at the bench.
        DiagnosticReport.Remark(
            streams,
            IsJson(parsed),
            [.. diagnostics.Where(diagnostic => diagnostic.Severity >= Severity.Warning)]
        );
        return parsed.GetValue(_calibration) is { } file
            ? Calibrated(amplifier, file, streams, IsJson(parsed))
            : amplifier;
    }

    private static Amplifier? Calibrated(
        Amplifier amplifier,
        string file,
        StandardStreams streams,
        bool json
    )
    {
        var (calibrated, diagnostics) = CalibrationFile.Read(amplifier, file);
        if (calibrated is null)
        {
            DiagnosticReport.Refuse(streams, json, diagnostics);
        }
        return calibrated;
    }
}
