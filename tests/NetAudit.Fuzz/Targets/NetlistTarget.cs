using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Simulation;

namespace NetAudit.Fuzz.Targets;

/// <summary>
/// A netlist: read, drawn up as an amplifier, solved. There is a circuit exactly when nothing is an error, and an operating point that
/// claims to have settled is made of numbers.
/// </summary>
internal static class NetlistTarget
{
    private const string File = "fuzz.cir";

    public static void Check(string text)
    {
        var read = CircuitReader.ReadText(text, File);
        Contract.Places(read.Diagnostics, File, text);
        Contract.Holds(
            (read.Circuit is null) == read.Diagnostics.Any(d => d.Severity == Severity.Error),
            "a circuit exactly when nothing is an error"
        );
        if (read.Circuit is not { } circuit)
        {
            return;
        }
        var amplifier = AmplifierReader.ReadText(read, null).Amplifier;
        Contract.Holds(amplifier is not null, "a circuit without a sheet is an amplifier");
        var point = new OperatingPointSolver().Solve(circuit);
        Contract.Holds(
            !point.Converged || point.NodeVolts.All(double.IsFinite),
            "settled volts are numbers"
        );
        Contract.Holds(
            !point.Converged || point.BranchAmps.All(branch => double.IsFinite(branch.Amps)),
            "settled currents are numbers"
        );
    }
}
