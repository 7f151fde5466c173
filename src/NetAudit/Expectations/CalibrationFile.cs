using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Common;
using NetAudit.Netlists;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>Reads and writes calibration files (TOML). Bad input never throws. Thread-safe.</summary>
public static class CalibrationFile
{
    /// <summary>The amplifier with the calibration of a file; everything wrong with the file is in the result.</summary>
    public static AmplifierReadResult Read(Amplifier amplifier, string path)
    {
        try
        {
            return Apply(amplifier, InputFile.ReadText(path), path);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            var message = $"the calibration {path} cannot be read: {problem.Message}";
            return new(null, [new Diagnostic(Severity.Error, null, message)]);
        }
    }

    /// <summary>The amplifier with a calibration; everything wrong with the file is in the result.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="text">The file.</param>
    /// <param name="fileName">Its name, for diagnostics.</param>
    public static AmplifierReadResult Apply(Amplifier amplifier, string text, string fileName)
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        var (calibration, context) = CalibrationTables.Read(text, fileName);
        var names = SpreadModelBuilder
            .Build(amplifier, CompiledCircuit.Compile(amplifier.Circuit))
            .Terms.Select(term => term.Name)
            .ToArray();
        foreach (var reference in context.Names)
        {
            if (!names.Contains(reference.Name, StringComparer.OrdinalIgnoreCase))
            {
                context.Diagnostics.Error(
                    reference.Where,
                    $"nothing in this circuit strays by the name \"{reference.Name}\"",
                    Suggestions.DidYouMean(reference.Name, names)
                        ?? "the calibration is another circuit's: make it anew"
                );
            }
        }
        var found = context.Diagnostics.ToImmutable();
        return new(
            context.Diagnostics.HasErrors
                ? null
                : amplifier with
                {
                    Sheet = amplifier.Sheet with { Calibration = calibration },
                },
            found
        );
    }

    /// <summary>The text of a calibration file.</summary>
    /// <param name="calibration">The calibration.</param>
    /// <param name="from">What it was fitted to, in words.</param>
    /// <param name="moved">How far each term moved, in standard deviations, in order.</param>
    public static string ToText(Calibration calibration, string from, ImmutableArray<double> moved)
    {
        var text = new StringBuilder();
        text.Append(
            "# Written by netaudit calibrate; expect and diagnose take it with --calibration.\n"
        );
        text.Append(CultureInfo.InvariantCulture, $"title = {Quoted(calibration.Title ?? "")}\n");
        text.Append(CultureInfo.InvariantCulture, $"from = {Quoted(from)}\n");
        for (var i = 0; i < calibration.Terms.Length; i++)
        {
            var term = calibration.Terms[i];
            text.Append(CultureInfo.InvariantCulture, $"\n[[term]]\nname = {Quoted(term.Name)}\n");
            text.Append(
                term.Offset != 0
                    ? string.Create(CultureInfo.InvariantCulture, $"offset = {term.Offset:G7}\n")
                    : string.Create(CultureInfo.InvariantCulture, $"factor = {term.Factor:G7}\n")
            );
            text.Append(CultureInfo.InvariantCulture, $"moved = {moved[i]:0.00}\n");
            if (term.Spread < 1)
            {
                text.Append(CultureInfo.InvariantCulture, $"spread = {term.Spread:G4}\n");
            }
        }
        return text.ToString();
    }

    private static string Quoted(string text) =>
        $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
}
