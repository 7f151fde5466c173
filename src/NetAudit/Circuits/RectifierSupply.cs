using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits;

/// <summary>
/// Transformer, rectifier and reservoir that take the place of a voltage source: what a <c>[[supply]]</c> of the sheet says, with what
/// the circuit says about its surroundings. Immutable.
/// </summary>
/// <param name="Secondary">Volts RMS of the secondary (of one half when centre-tapped); 0 with the mains off.</param>
/// <param name="WindingOhms">Ohms of one conducting path that the netlist does not show as resistors.</param>
/// <param name="Law">Law of one rectifier.</param>
/// <param name="Circuit">Connection of the rectifiers.</param>
/// <param name="Frequency">Mains frequency, hertz.</param>
/// <param name="Reservoir">Element index of the reservoir capacitor.</param>
/// <param name="ReservoirEnds">Its ends, that on the side of the source's first terminal first.</param>
/// <param name="Series">
/// Element indices of the resistors between source and reservoir: all that the rectifier's pulses pass on their way.
/// </param>
/// <param name="SmoothingSiemens">Siemens from the reservoir through resistors to the next capacitors.</param>
public sealed record RectifierSupply(
    double Secondary,
    double WindingOhms,
    RectifierLaw Law,
    RectifierCircuit Circuit,
    double Frequency,
    int Reservoir,
    (Terminal Positive, Terminal Negative) ReservoirEnds,
    ImmutableArray<int> Series,
    double SmoothingSiemens
);
