using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation;

/// <summary>
/// The numbers a workspace works on: one block of memory that does not move, so that the inner loops use plain pointers. Arrays over
/// indices have <see cref="Topology.IndexCount"/> entries, arrays over values <see cref="Links.ValueCount"/>.
/// </summary>
internal sealed unsafe class SolverMemory
{
    private readonly double[] _block;

    public SolverMemory(Topology t, EliminationProgram program)
    {
        var index = t.IndexCount;
        var values = Links.ValueCount(program);
        var n = t.UnknownCount;
        var edits = Topology.MostPlaces;
        var mostResults = 1;
        var mostInputs = 1;
        foreach (var law in t.Laws)
        {
            mostResults = Math.Max(mostResults, law.Law.ResultCount);
            mostInputs = Math.Max(mostInputs, law.Law.InputCount);
        }
        mostInputs = Math.Max(mostInputs, 8);
        mostResults = Math.Max(mostResults, 16);
        int[] sizes =
        [
            index,
            index,
            index,
            index,
            index,
            index,
            index,
            index,
            index,
            index,
            values,
            values,
            n,
            n,
            edits * n,
            edits * edits,
            t.Conductances.Length,
            t.LinearStamps.Length,
            t.Flows.Length,
            t.Flows.Length,
            t.Partials.Length,
            t.JunctionCount,
            t.JunctionCount,
            mostInputs,
            mostResults,
            index,
            mostResults,
            t.ChargeCount,
            t.ChargeCount,
            t.ChargeCount,
        ];
        _block = GC.AllocateArray<double>(sizes.Sum(), pinned: true);
        fixed (double* start = _block)
        {
            var at = start;
            var next = 0;
            double* Take()
            {
                var taken = at;
                at += sizes[next++];
                return taken;
            }
            V = Take();
            Trial = Take();
            F = Take();
            Step = Take();
            Simplified = Take();
            Reference = Take();
            Scale = Take();
            Start = Take();
            Adjoint = Take();
            Column = Take();
            Static = Take();
            Lu = Take();
            Inverse = Take();
            Work = Take();
            EditColumns = Take();
            Corner = Take();
            Siemens = Take();
            Linear = Take();
            Flows = Take();
            UnitFlows = Take();
            Partials = Take();
            OldJunctions = Take();
            NewJunctions = Take();
            Inputs = Take();
            Results = Take();
            Direction = Take();
            Factors = Take();
            ChargeHistories = Take();
            Charges = Take();
            ChargeCapacitances = Take();
        }
    }

    /// <summary>Solution: volts and branch amperes, by index.</summary>
    public double* V { get; }

    public double* Trial { get; }

    /// <summary>Amperes left over in each equation.</summary>
    public double* F { get; }

    /// <summary>Newton step.</summary>
    public double* Step { get; }

    /// <summary>Step from the new residual with the old factors.</summary>
    public double* Simplified { get; }

    /// <summary>What a shunt (leakage stepping, pseudo-transient) pulls towards.</summary>
    public double* Reference { get; }

    /// <summary>By index: below this magnitude a change counts absolutely, above it relatively.</summary>
    public double* Scale { get; }

    /// <summary>Where the solve began.</summary>
    public double* Start { get; }

    public double* Adjoint { get; }

    public double* Column { get; }

    /// <summary>Constant part of the Jacobian, eliminated as far as it goes alone.</summary>
    public double* Static { get; }

    /// <summary>Jacobian, then its factors.</summary>
    public double* Lu { get; }

    public double* Inverse { get; }

    public double* Work { get; }

    /// <summary>The solved columns of the edits.</summary>
    public double* EditColumns { get; }

    /// <summary>Schur complement of the edits, then its factors.</summary>
    public double* Corner { get; }

    public double* Siemens { get; }

    public double* Linear { get; }

    public double* Flows { get; }

    /// <summary>Flows of behavioural sources at strength 1.</summary>
    public double* UnitFlows { get; }

    public double* Partials { get; }

    public double* OldJunctions { get; }

    public double* NewJunctions { get; }

    public double* Inputs { get; }

    public double* Results { get; }

    public double* Direction { get; }

    /// <summary>Strengths of the flows of the law at hand.</summary>
    public double* Factors { get; }

    /// <summary>By stored charge: amperes that the integration rule adds to rate times charge.</summary>
    public double* ChargeHistories { get; }

    /// <summary>By stored charge of semiconductors: coulombs at the point last evaluated.</summary>
    public double* Charges { get; }

    /// <summary>By stored charge of semiconductors: farads at the point last evaluated.</summary>
    public double* ChargeCapacitances { get; }
}
