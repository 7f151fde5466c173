using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>What a calibration does to the nominal point and to the spreads about it.</summary>
internal static class CalibratedSpreads
{
    /// <summary>The term with what the calibration leaves of its spread.</summary>
    public static SpreadTerm Narrowed(SpreadTerm term, Calibration? calibration) =>
        Find(calibration, term.Name) is { } known
            ? term with
            {
                Sigma = term.Sigma * known.Spread,
            }
            : term;

    /// <summary>Solver parameters at the calibrated nominal point.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="compiled">Its circuit in some condition.</param>
    /// <param name="swapped">Tubes in whose place another stands: what is known of the old one does not hold.</param>
    public static ImmutableArray<(int Parameter, double Value)> Settings(
        Amplifier amplifier,
        CompiledCircuit compiled,
        ImmutableHashSet<string> swapped
    )
    {
        if (amplifier.Sheet.Calibration is not { } calibration)
        {
            return [];
        }
        return
        [
            .. SpreadModelBuilder
                .Build(amplifier, compiled)
                .Terms.Where(term => term.Tube is null || !swapped.Contains(term.Tube))
                .Select(term => (Term: term, Known: Find(calibration, term.Name)))
                .Where(pair => pair.Known is not null)
                .SelectMany(pair =>
                    pair.Term.Parameters.Select(parameter =>
                        (
                            parameter,
                            compiled.Parameters[parameter].Nominal * pair.Known!.Factor
                                + pair.Known.Offset
                        )
                    )
                ),
        ];
    }

    private static CalibratedTerm? Find(Calibration? calibration, string name) =>
        calibration?.Terms.FirstOrDefault(term =>
            term.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
        );
}
